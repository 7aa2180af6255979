import { msg, str } from '@lit/localize';
import { pagesSvg } from '../export/chart/chart-svg.js';
import type { ChartLayout } from '../export/chart/layout.js';
import type { TextMark } from '../export/chart/marks.js';
import type { PagesPort } from '../state/ports.js';
import type { TextPicture } from './pdf.js';

/** Dots an inch of pictures, and the longest side that browsers draw. */
const RESOLUTION = 200;
const LONGEST = 15_000;

/** Pages as files, made in the page; what it needs for PDF is loaded when it is first asked for. */
export function browserPages(): PagesPort {
  return {
    print: () => window.print(),
    make: async (layout, format) => {
      if (format !== 'pdf') {
        const { facesStyle } = await import('../export/chart/bundled-faces.js');
        const svg = pagesSvg(layout, { faces: facesStyle() });
        return format === 'svg' ? svgBlob(svg) : pngOf(layout, svg);
      }
      const [{ makePdf, PICTURE_BASE, PICTURE_HIGH }, { pdfFaces }] = await Promise.all([
        import('./pdf.js'),
        import('./pdf-faces.js'),
      ]);
      const picture: TextPicture = (mark) => textPicture(mark, PICTURE_HIGH, PICTURE_BASE);
      return new Blob([await makePdf(layout, { faces: pdfFaces(), picture })], { type: 'application/pdf' });
    },
  };
}

function svgBlob(svg: string): Blob {
  return new Blob([svg], { type: 'image/svg+xml' });
}

async function pngOf(layout: ChartLayout, svg: string): Promise<Blob> {
  const url = URL.createObjectURL(svgBlob(svg));
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    // Points are three quarters of a pixel each.
    const [wide, high] = [image.naturalWidth * 0.75, image.naturalHeight * 0.75];
    const scale = Math.min(RESOLUTION / 72, LONGEST / Math.max(wide, high));
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [Math.round(wide * scale), Math.round(high * scale)];
    const context = canvas.getContext('2d');
    if (!context) throw new Error(msg(str`the picture of "${layout.title}" could not be drawn here`));
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await blobOf(canvas);
  } finally {
    URL.revokeObjectURL(url);
  }
}

function blobOf(canvas: HTMLCanvasElement): Promise<Blob> {
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob) resolve(blob);
      else reject(new Error(msg('the picture became too large for this browser; choose fewer pages')));
    }, 'image/png');
  });
}

const FACES = {
  serif: "400 100px 'Barwright Music', serif",
  serifBold: "600 100px 'Barwright Music', serif",
  sans: "400 100px 'Barwright Plain', sans-serif",
  sansBold: "600 100px 'Barwright Plain', sans-serif",
} as const;

/** A text in the page's faces and whatever stands in for them, 100 pixels a size. */
async function textPicture(mark: TextMark, high: number, base: number): Promise<Uint8Array> {
  const canvas = document.createElement('canvas');
  canvas.width = Math.min(LONGEST, Math.max(1, Math.ceil((mark.width / mark.size) * 100)));
  canvas.height = Math.ceil(high * 100);
  const context = canvas.getContext('2d');
  if (!context) return new Uint8Array(await (await blobOf(canvas)).arrayBuffer());
  context.font = FACES[mark.face];
  context.fillStyle = mark.tone === 'soft' ? '#5c564d' : '#1c1a17';
  const natural = context.measureText(mark.text).width;
  if (natural > 0) context.scale(canvas.width / natural, 1);
  context.fillText(mark.text, 0, base * 100);
  return new Uint8Array(await (await blobOf(canvas)).arrayBuffer());
}
