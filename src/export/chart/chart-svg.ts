import { msg, str } from '@lit/localize';
import { DEFAULT_CHART, type ChartOptions } from '../../model/chart-options.js';
import type { PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { inMarkup } from '../markup.js';
import { GLYPHS } from './glyphs.js';
import { layOutChart, type ChartLayout } from './layout.js';
import { TONES, type Mark, type TextMark } from './marks.js';
import type { Face } from './face.js';

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
  /** Letters are drawn with these, so that a reader needs neither the faces nor textLength. */
  readonly outlines?: Outlines;
}

/** The outlines of a text as far as the bundled faces have them, in pieces in their order. */
export type Outlines = (text: string, face: Face) => readonly OutlinedText[];

export interface OutlinedText {
  readonly text: string;
  /** In thousandths of the size. */
  readonly width: number;
  /** SVG path data in thousandths of the size, y upwards from the baseline; without it no face has the letters. */
  readonly path?: string;
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
export function pageElement(layout: ChartLayout, page: number, options: SvgOptions = {}): SvgElement {
  const { title, pages } = layout;
  const label = pages.length > 1 ? msg(str`${title}, page ${page + 1} of ${pages.length}`) : title;
  return drawing([layout.pages[page]?.marks ?? []], layout, label, [], options);
}

/** One page of a layout as an SVG document. */
export function pageSvg(layout: ChartLayout, page: number, options: SvgOptions = {}): string {
  const { content, ...svg } = pageElement(layout, page, options);
  return `${written({ ...svg, content: [styleOf(options), ...content] as readonly SvgElement[] })}\n`;
}

/** All pages of a layout under one another as an SVG document. */
export function pagesSvg(layout: ChartLayout, options: SvgOptions = {}): string {
  const pages = layout.pages.map(({ marks }) => marks);
  return `${written(drawing(pages, layout, layout.title, [styleOf(options)], options))}\n`;
}

function styleOf({ faces = '' }: SvgOptions): SvgElement {
  return element('style', {}, faces + CHART_STYLE);
}

/** White between pages that stand under one another, in points. */
const BETWEEN = 12;

function drawing(
  pages: readonly (readonly Mark[])[],
  { width, height }: { readonly width: number; readonly height: number },
  label: string,
  styles: readonly SvgElement[],
  { outlines }: SvgOptions,
): SvgElement {
  const [w, h] = [number(width), number(height)];
  const all = number(pages.length * height + (pages.length - 1) * BETWEEN);
  const drawn = pages.flatMap((marks, i): readonly SvgElement[] => {
    const paper = element('rect', { width: w, height: h, fill: PAPER });
    const own = [paper, ...marks.flatMap((mark) => markElement(mark, outlines))];
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

function markElement(mark: Mark, outlines: Outlines | undefined): readonly SvgElement[] {
  const ink = TONES[mark.tone ?? 'ink'];
  switch (mark.kind) {
    case 'text': {
      if (mark.text === '' || mark.width <= 0) return [];
      return outlines ? [outlined(mark, ink, outlines)] : [textElement(mark, ink)];
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

function textElement({ x, y, size, width, text, face }: TextMark, ink: string): SvgElement {
  const place = { class: CLASSES[face], x: number(x), y: number(y), 'font-size': number(size), fill: ink };
  // Set to its measured width, so that another face in the place of ours cannot reach into its neighbour.
  return element('text', { ...place, textLength: number(width), lengthAdjust: 'spacingAndGlyphs' }, text);
}

/** A text as drawn letters, its words kept for those who hear them; letters without an outline are written in their place. */
function outlined(mark: TextMark, ink: string, outlines: Outlines): SvgElement {
  const { x, y, size, width, text, face } = mark;
  const pieces = outlines(text, face);
  const natural = pieces.reduce((sum, piece) => sum + piece.width, 0);
  const share = width / Math.max(1, natural);
  const scale = `scale(${fine(share)} ${fine(-size / 1000)})`;
  let at = x;
  const content = pieces.map((piece): SvgElement => {
    const here = at;
    const wide = piece.width * share;
    at += wide;
    if (piece.path === undefined) return textElement({ ...mark, x: here, width: wide, text: piece.text }, ink);
    return element('path', { d: piece.path, transform: `translate(${number(here)} ${number(y)}) ${scale}`, fill: ink });
  });
  return { tag: 'g', attributes: { 'aria-label': text }, content };
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

/** Scales are small numbers. */
function fine(value: number): string {
  return String(Math.round(value * 1e6) / 1e6);
}
