import { msg, str } from '@lit/localize';
import { DEFAULT_CHART, type ChartOptions } from '../../model/chart-options.js';
import type { PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { inMarkup } from '../markup.js';
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

/** An element of a drawing, to be written as text or made in a page; its texts are not escaped yet. */
export interface SvgElement {
  readonly tag: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly content: string | readonly SvgElement[];
}

/** One page of a layout, without a style sheet: CHART_STYLE has to be around it. */
export function pageElement(layout: ChartLayout, page: number): SvgElement {
  const { title, pages } = layout;
  const label = pages.length > 1 ? msg(str`${title}, page ${page + 1} of ${pages.length}`) : title;
  return drawing([layout.pages[page]?.marks ?? []], layout, label, []);
}

/** One page of a layout as an SVG document. */
export function pageSvg(layout: ChartLayout, page: number, { faces = '' }: SvgOptions = {}): string {
  const { content, ...svg } = pageElement(layout, page);
  return `${written({ ...svg, content: [styleOf(faces), ...content] as readonly SvgElement[] })}\n`;
}

/** All pages of a layout under one another as an SVG document. */
export function pagesSvg(layout: ChartLayout, { faces = '' }: SvgOptions = {}): string {
  const pages = layout.pages.map(({ marks }) => marks);
  return `${written(drawing(pages, layout, layout.title, [styleOf(faces)]))}\n`;
}

function styleOf(faces: string): SvgElement {
  return element('style', {}, faces + CHART_STYLE);
}

/** White between pages that stand under one another, in points. */
const BETWEEN = 12;

function drawing(
  pages: readonly (readonly Mark[])[],
  { width, height }: { readonly width: number; readonly height: number },
  label: string,
  styles: readonly SvgElement[],
): SvgElement {
  const [w, h] = [number(width), number(height)];
  const all = number(pages.length * height + (pages.length - 1) * BETWEEN);
  const drawn = pages.flatMap((marks, i): readonly SvgElement[] => {
    const paper = element('rect', { width: w, height: h, fill: PAPER });
    const own = [paper, ...marks.flatMap(markElement)];
    const transform = `translate(0 ${number(i * (height + BETWEEN))})`;
    return i === 0 ? own : [{ tag: 'g', attributes: { transform }, content: own }];
  });
  return {
    tag: 'svg',
    attributes: {
      xmlns: 'http://www.w3.org/2000/svg',
      width: `${w}pt`,
      height: `${all}pt`,
      viewBox: `0 0 ${w} ${all}`,
      role: 'img',
      'aria-label': label,
    },
    content: [element('title', {}, label), ...styles, ...drawn],
  };
}

function element(tag: string, attributes: SvgElement['attributes'], content = ''): SvgElement {
  return { tag, attributes, content };
}

function markElement(mark: Mark): readonly SvgElement[] {
  const ink = TONES[mark.tone ?? 'ink'];
  switch (mark.kind) {
    case 'text': {
      const { x, y, size, width, text, face } = mark;
      if (text === '' || width <= 0) return [];
      const place = { class: CLASSES[face], x: number(x), y: number(y), 'font-size': number(size), fill: ink };
      // Set to its measured width, so that another face in the place of ours cannot reach into its neighbour.
      return [element('text', { ...place, textLength: number(width), lengthAdjust: 'spacingAndGlyphs' }, text)];
    }
    case 'glyph': {
      const { x, y, size, squeeze = 1 } = mark;
      const scale = squeeze === 1 ? number(size) : `${number(size * squeeze)} ${number(size)}`;
      const transform = `translate(${number(x)} ${number(y)}) scale(${scale})`;
      return [element('path', { d: GLYPHS[mark.glyph].path, transform, fill: ink, 'fill-rule': 'evenodd' })];
    }
    case 'rect': {
      const { x, y, width, height, fill = ink } = mark;
      const place = { x: number(x), y: number(y), width: number(width), height: number(height) };
      return [element('rect', { ...place, fill })];
    }
    case 'line': {
      const { x1, y1, x2, y2, thickness, dashed, round, square } = mark;
      const place = { x1: number(x1), y1: number(y1), x2: number(x2), y2: number(y2) };
      const dash = { 'stroke-dasharray': `${number(3 * thickness)} ${number(2.5 * thickness)}` };
      return [
        element('line', {
          ...place,
          stroke: ink,
          'stroke-width': number(thickness),
          ...(dashed ? dash : {}),
          ...(round ? { 'stroke-linecap': 'round' } : square ? { 'stroke-linecap': 'square' } : {}),
        }),
      ];
    }
  }
}

function written({ tag, attributes, content }: SvgElement): string {
  const list = Object.entries(attributes).map(([name, value]) => ` ${name}="${inMarkup(value)}"`);
  const open = `<${tag}${list.join('')}`;
  if (content === '' && tag !== 'title') return `${open}/>`;
  // Style sheets are our own, and hold quotes that have to stay.
  const inside =
    typeof content !== 'string' ? content.map(written).join('') : tag === 'style' ? content : inMarkup(content);
  return `${open}>${inside}</${tag}>`;
}

function number(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}
