import PDFDocument from 'pdfkit';
import { GLYPHS } from '../../export/chart/glyphs.js';
import type { ChartLayout } from '../../export/chart/layout.js';
import { TONES, type Mark, type TextMark } from '../../export/chart/marks.js';
import { readingOrder } from '../../export/chart/reading-order.js';
import { textWidth } from '../../export/chart/text-widths.js';
import type { OpenFace, OpenFaces } from './open-faces.js';
import { pageTags } from './pdf-tags.js';

/** Pixels from left to right and top to bottom: three bytes of colour each, one of opacity. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly colours: Uint8Array;
  readonly opacity: Uint8Array;
}

/** Draws a text in whatever face has its letters, `width` wide in sizes of the text and PICTURE_HIGH high. */
export type TextPicture = (text: string, mark: TextMark, width: number) => Picture;

export interface PdfWish {
  /** Opened for all texts of the layout. */
  readonly faces: OpenFaces;
  /** For letters that the faces lack; such letters are left out without it. */
  readonly picture?: TextPicture;
  /** The language of the texts (BCP 47); English without. */
  readonly language?: string;
}

/** Height of a picture of text, and where its baseline is, in sizes of the text. */
export const PICTURE_HIGH = 1.5;
export const PICTURE_BASE = 1.1;

/**
 * The pages as a tagged PDF document (ISO 32000-1, 14.8): vector drawing, the faces embedded as far as they are used, all that the
 * faces can write as text. Resolves to its bytes.
 */
export async function makePdf(layout: ChartLayout, wish: PdfWish): Promise<Uint8Array<ArrayBuffer>> {
  const { width, height, title } = layout;
  // No font to begin with: its own come with a file that browsers cannot read.
  const document = new PDFDocument({
    size: [width, height],
    margin: 0,
    autoFirstPage: false,
    font: '',
    info: { Title: title },
    pdfVersion: '1.7',
    tagged: true,
    displayTitle: true,
    lang: wish.language ?? 'en',
  });
  const pieces: Uint8Array[] = [];
  const done = new Promise<void>((resolve, reject) => {
    document.on('data', (piece: Uint8Array) => pieces.push(piece));
    document.on('end', resolve);
    document.on('error', reject);
  });
  const tags = pageTags(document, readingOrder(layout));
  const pen = new Pen(document, wish);
  for (const { marks } of layout.pages) {
    document.addPage();
    for (const mark of marks) {
      tags.begin(mark);
      pen.draw(mark);
    }
    tags.endPage();
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

/** Neither kerning nor ligatures: the layout measures letter by letter. */
const PLAIN = { kern: false, liga: false, clig: false, calt: false };
const SETTING = { lineBreak: false, baseline: 'alphabetic', features: PLAIN } as const;

/** Draws marks on the last page of a document. */
class Pen {
  private readonly known = new Set<string>();
  private pictures = 0;

  constructor(
    private readonly document: PDFDocument,
    private readonly wish: PdfWish,
  ) {}

  draw(mark: Mark): void {
    const { document } = this;
    const ink = TONES[mark.tone ?? 'ink'];
    switch (mark.kind) {
      case 'text':
        if (mark.text !== '' && mark.width > 0) this.drawText(mark, ink);
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

  /** Piece by piece, all squeezed alike so that the whole is as wide as it was measured. */
  private drawText(mark: TextMark, ink: string): void {
    const { document, wish } = this;
    const { text, x, y, size, face, width } = mark;
    const pieces = wish.faces.runs(text, face).map((run) => {
      if (run.face) this.choose(run.face, size);
      return { ...run, wide: run.face ? document.widthOfString(run.text, SETTING) : textWidth(run.text, size, face) };
    });
    const natural = pieces.reduce((sum, { wide }) => sum + wide, 0);
    if (natural <= 0) return;
    const share = width / natural;
    document.save().translate(x, y);
    if (Math.abs(share - 1) > 1e-4) document.scale(share, 1);
    let at = 0;
    for (const piece of pieces) {
      if (piece.face) {
        this.choose(piece.face, size);
        document.fillColor(ink).text(piece.text, at, 0, SETTING);
      } else if (wish.picture && piece.wide > 0) {
        // What is read and copied in place of the picture.
        document.markContent('Span', { actual: piece.text });
        const image = this.imageOf(wish.picture(piece.text, mark, piece.wide / size));
        document.image(image, at, -PICTURE_BASE * size, { width: piece.wide, height: PICTURE_HIGH * size });
        document.endMarkedContent();
      }
      at += piece.wide;
    }
    document.restore();
  }

  private choose({ name, bytes }: OpenFace, size: number): void {
    if (!this.known.has(name)) this.document.registerFont(name, bytes);
    this.known.add(name);
    this.document.font(name).fontSize(size);
  }

  /** pdfkit unpacks PNG in a worker made of a blob, which the page's policy forbids; so it is given the pixels. */
  private imageOf({ width, height, colours, opacity }: Picture): PdfImage {
    const { document } = this;
    const about = { Type: 'XObject', Subtype: 'Image', Width: width, Height: height, BitsPerComponent: 8 };
    const mask = document.ref({ ...about, ColorSpace: 'DeviceGray' });
    mask.end(opacity);
    const obj = document.ref({ ...about, ColorSpace: 'DeviceRGB', SMask: mask });
    obj.end(colours);
    return { width, height, label: `T${++this.pictures}`, obj };
  }
}

type PdfImage = Parameters<PDFDocument['image']>[0];
