import PDFDocument from 'pdfkit';
import { GLYPHS } from '../export/chart/glyphs.js';
import type { ChartLayout } from '../export/chart/layout.js';
import { TONES, type Mark, type TextMark } from '../export/chart/marks.js';
import { isBundled, type Face } from '../export/chart/text-widths.js';

/** Draws a text in whatever face has its characters, exactly `width` by 1.5 times its size, the baseline at 1.1 of it: a PNG. */
export type TextPicture = (mark: TextMark) => Promise<Uint8Array>;

export interface PdfWish {
  /** The four faces as font files (WOFF, TrueType or OpenType). */
  readonly faces: Readonly<Record<Face, Uint8Array>>;
  /** For texts with characters that the faces lack; such characters are left out without it. */
  readonly picture?: TextPicture;
}

/** Height of a picture of text, and where its baseline is, in sizes of the text. */
export const PICTURE_HIGH = 1.5;
export const PICTURE_BASE = 1.1;

/** The pages as a PDF document: vector drawing, the faces embedded as far as they are used. Resolves to its bytes. */
export async function makePdf(layout: ChartLayout, { faces, picture }: PdfWish): Promise<Uint8Array<ArrayBuffer>> {
  const { width, height, title } = layout;
  // No font to begin with: its own come with a file that browsers cannot read.
  const document = new PDFDocument({
    size: [width, height],
    margin: 0,
    autoFirstPage: false,
    font: '',
    info: { Title: title },
  });
  const pieces: Uint8Array[] = [];
  const done = new Promise<void>((resolve, reject) => {
    document.on('data', (piece: Uint8Array) => pieces.push(piece));
    document.on('end', resolve);
    document.on('error', reject);
  });
  for (const [face, bytes] of Object.entries(faces)) document.registerFont(face, bytes);
  for (const { marks } of layout.pages) {
    document.addPage();
    for (const mark of marks) await drawMark(document, mark, picture);
  }
  document.end();
  await done;
  const bytes = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    bytes.set(piece, at);
    at += piece.length;
  }
  return bytes;
}

type Document = InstanceType<typeof PDFDocument>;

async function drawMark(document: Document, mark: Mark, picture: TextPicture | undefined): Promise<void> {
  const ink = TONES[mark.tone ?? 'ink'];
  switch (mark.kind) {
    case 'text':
      if (mark.text === '' || mark.width <= 0) return;
      if (picture && !isBundled(mark.text, mark.face)) {
        const { x, y, size, width } = mark;
        const bytes = await picture(mark);
        const place = { width, height: PICTURE_HIGH * size };
        document.image(bytes, x, y - PICTURE_BASE * size, place);
        return;
      }
      drawText(document, mark, ink);
      return;
    case 'glyph': {
      const { x, y, size, squeeze = 1 } = mark;
      document
        .save()
        .translate(x, y)
        .scale(size * squeeze, size);
      document.path(GLYPHS[mark.glyph].path).fill(ink, 'even-odd');
      document.restore();
      return;
    }
    case 'rect':
      document.rect(mark.x, mark.y, mark.width, mark.height).fill(mark.fill ?? ink);
      return;
    case 'line': {
      const { x1, y1, x2, y2, thickness, dashed, round, square } = mark;
      document.lineWidth(thickness).lineCap(round ? 'round' : square ? 'square' : 'butt');
      if (dashed) document.dash(3 * thickness, { space: 2.5 * thickness });
      document.moveTo(x1, y1).lineTo(x2, y2).stroke(ink);
      if (dashed) document.undash();
    }
  }
}

/** Neither kerning nor ligatures: the layout measures letter by letter. */
const PLAIN = { kern: false, liga: false, clig: false, calt: false };

function drawText(document: Document, { text, x, y, size, face, width }: TextMark, ink: string): void {
  document.font(face).fontSize(size).fillColor(ink);
  const options = { lineBreak: false, baseline: 'alphabetic', features: PLAIN } as const;
  const natural = document.widthOfString(text, options);
  const share = natural > 0 ? width / natural : 1;
  document.save().translate(x, y);
  if (Math.abs(share - 1) > 1e-4) document.scale(share, 1);
  document.text(text, 0, 0, options);
  document.restore();
}
