import { msg, str } from '@lit/localize';
import { pageSvg, pagesSvg, type SvgOptions } from '../../export/chart/chart-svg.js';
import type { ChartLayout } from '../../export/chart/layout.js';
import type { MadePages, PageFormat } from '../../app/kit/ports.js';
import { OpenFaces } from './open-faces.js';
import { outlinesFor } from './outlines.js';
import { withResolution } from './png-resolution.js';

/** Dots an inch of pictures. */
const RESOLUTION = 200;

/** A layout as files of a format, with the letters that this machine cannot set. */
export async function makePages(layout: ChartLayout, format: PageFormat): Promise<MadePages> {
  const text = textsOf(layout).join('\n');
  if (format === 'pdf') {
    const [{ makePdf }, { textPicture }] = await Promise.all([import('./pdf.js'), import('./text-picture.js')]);
    const language = document.documentElement.lang;
    const bytes = await makePdf(layout, { faces: await OpenFaces.for(text), picture: textPicture, language });
    return { files: [new Blob([bytes], { type: 'application/pdf' })], unset: await unsetIn(layout) };
  }
  const options: SvgOptions = { outlines: await outlinesFor(text) };
  if (format === 'svg') return { files: [svgBlob(pagesSvg(layout, options))], unset: [] };
  const files: Blob[] = [];
  for (const page of layout.pages.keys()) files.push(await pngOf(layout, pageSvg(layout, page, options)));
  return { files, unset: await unsetIn(layout) };
}

function textsOf({ pages }: ChartLayout): readonly string[] {
  return pages.flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : [])));
}

/** The letters that neither the bundled faces nor the machine can set, each once. */
async function unsetIn(layout: ChartLayout): Promise<readonly string[]> {
  const { isUnset } = await import('./text-picture.js');
  const texts = textsOf(layout).join('\n');
  const left = (await OpenFaces.for(texts)).runs(texts, 'serif').flatMap(({ text, face }) => (face ? [] : [text]));
  return [...new Set(left.join(''))].filter((letter) => /[\p{L}\p{N}\p{S}\p{Co}]/u.test(letter) && isUnset(letter));
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
    const canvas = document.createElement('canvas');
    const scale = RESOLUTION / 72;
    [canvas.width, canvas.height] = [Math.round(layout.width * scale), Math.round(layout.height * scale)];
    const context = canvas.getContext('2d');
    if (!context) throw new Error(msg(str`the picture of "${layout.title}" could not be drawn here`));
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    const png = new Uint8Array(await (await blobOf(canvas)).arrayBuffer());
    return new Blob([withResolution(png, RESOLUTION)], { type: 'image/png' });
  } finally {
    URL.revokeObjectURL(url);
  }
}

function blobOf(canvas: HTMLCanvasElement): Promise<Blob> {
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob) resolve(blob);
      else reject(new Error(msg('the picture became too large for this browser; choose smaller paper')));
    }, 'image/png');
  });
}
