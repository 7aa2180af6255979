import { DEFAULT_CHART, type ChartOptions } from '../../model/chart-options.js';
import type { PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { GLYPHS } from './glyphs.js';
import { layOutChart, type ChartLayout } from './layout.js';
import { TONES, type Mark } from './marks.js';
import type { Face } from './text-widths.js';

const PAPER = '#ffffff';

const CLASSES: Readonly<Record<Face, string>> = { serif: 'm', serifBold: 'mb', sans: 'p', sansBold: 'pb' };

/** Families by the names under which the page and the exported files bring the bundled faces. */
export const CHART_STYLE =
  'text{font-kerning:none;font-variant-ligatures:none;white-space:pre}' +
  ".m,.mb{font-family:'Barwright Music','Source Serif 4',Georgia,serif}" +
  ".p,.pb{font-family:'Barwright Plain','Source Sans 3',sans-serif}" +
  '.m,.p{font-weight:400}.mb,.pb{font-weight:600}';

/** What a drawing says of itself and brings along. */
export interface SvgOptions {
  /** Style sheet text with the faces (facesStyle in bundled-faces.ts), for a file that stands alone. */
  readonly faces?: string;
  /** False where the page around it has CHART_STYLE already and allows no other. */
  readonly styled?: boolean;
}

export interface ChartSvgOptions extends SvgOptions {
  /** How it is written; as the map says, or as usual, where it is left out. */
  readonly options?: ChartOptions;
  /** The passes of each section (findPasses), so that their differences are said. */
  readonly passes?: readonly PassTable[];
}

/**
 * The chart of a map as one SVG document that fits its paper; several pages stand under one another. Texts from users are
 * escaped. Sizes in points.
 */
export function chartSvg(map: SongMap, wish: ChartSvgOptions = {}): string {
  return pagesSvg(layOutChart(map, wish.options ?? map.chart ?? DEFAULT_CHART, wish.passes), wish);
}

/** One page of a layout as an SVG document. */
export function pageSvg(layout: ChartLayout, page: number, options: SvgOptions = {}): string {
  const label = layout.pages.length > 1 ? `${layout.title}, page ${page + 1} of ${layout.pages.length}` : layout.title;
  return documentOf([layout.pages[page]?.marks ?? []], layout, label, options);
}

/** All pages of a layout under one another as an SVG document. */
export function pagesSvg(layout: ChartLayout, options: SvgOptions = {}): string {
  return documentOf(
    layout.pages.map(({ marks }) => marks),
    layout,
    layout.title,
    options,
  );
}

/** White between pages that stand under one another, in points. */
const BETWEEN = 12;

function documentOf(
  pages: readonly (readonly Mark[])[],
  { width, height }: { readonly width: number; readonly height: number },
  label: string,
  { faces = '', styled = true }: SvgOptions,
): string {
  const whole = pages.length * height + (pages.length - 1) * BETWEEN;
  const [w, h, all] = [number(width), number(height), number(whole)];
  const drawn = pages.map((marks, i) => {
    const own = `<rect width="${w}" height="${h}" fill="${PAPER}"/>${marks.map(markSvg).join('')}`;
    return i === 0 ? own : `<g transform="translate(0 ${number(i * (height + BETWEEN))})">${own}</g>`;
  });
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" width="${w}pt" height="${all}pt" viewBox="0 0 ${w} ${all}" role="img" aria-label="${escaped(label)}">` +
    `<title>${escaped(label)}</title>${styled ? `<style>${faces}${CHART_STYLE}</style>` : ''}${drawn.join('')}</svg>\n`
  );
}

function markSvg(mark: Mark): string {
  const ink = TONES[mark.tone ?? 'ink'];
  switch (mark.kind) {
    case 'text': {
      const { x, y, size, width, text, face } = mark;
      if (text === '' || width <= 0) return '';
      // Set to its measured width, so that another face in the place of ours cannot reach into its neighbour.
      return `<text class="${CLASSES[face]}" x="${number(x)}" y="${number(y)}" font-size="${number(size)}" textLength="${number(width)}" lengthAdjust="spacingAndGlyphs" fill="${ink}">${escaped(text)}</text>`;
    }
    case 'glyph': {
      const { x, y, size, squeeze = 1 } = mark;
      const scale = squeeze === 1 ? number(size) : `${number(size * squeeze)} ${number(size)}`;
      return `<path d="${GLYPHS[mark.glyph].path}" transform="translate(${number(x)} ${number(y)}) scale(${scale})" fill="${ink}" fill-rule="evenodd"/>`;
    }
    case 'rect':
      return `<rect x="${number(mark.x)}" y="${number(mark.y)}" width="${number(mark.width)}" height="${number(mark.height)}" fill="${mark.fill ?? ink}"/>`;
    case 'line': {
      const { x1, y1, x2, y2, thickness, dashed, round, square } = mark;
      const dash = dashed ? ` stroke-dasharray="${number(3 * thickness)} ${number(2.5 * thickness)}"` : '';
      const cap = round ? ' stroke-linecap="round"' : square ? ' stroke-linecap="square"' : '';
      return `<line x1="${number(x1)}" y1="${number(y1)}" x2="${number(x2)}" y2="${number(y2)}" stroke="${ink}" stroke-width="${number(thickness)}"${dash}${cap}/>`;
    }
  }
}

function number(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}

/** Text for XML and HTML, in an element or an attribute; what XML cannot carry is taken out. */
export function escaped(text: string): string {
  return text
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '')
    .replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/'/g, '&#39;');
}
