import { msg } from '@lit/localize';
import { endingText } from '../../model/fold/written-chart.js';
import type { ChartLine, PlacedBar } from './chart-lines.js';
import { GLYPHS } from './glyphs.js';
import type { Mark, Tone } from './marks.js';
import type { Above } from './sign-rows.js';
import { legible } from './paper.js';
import type { Face } from './face.js';
import { shortened, textWidth } from './text-widths.js';

/** Height of a row of signs over the bars, in sizes of the chords. */
export const SIGN_ROW = 0.94;
const WORDS = 0.62;
const NOTE = 0.56;
const SIGN = 0.86;
const APART = 0.22;

/** What stands over the bars, drawn once its row is known; `top` is the top of the row. */
export interface Sign extends Above {
  readonly draw: (top: number) => readonly Mark[];
}

interface Paper {
  /** Size of the chords' names in points. */
  readonly size: number;
  /** Width that bars may take. */
  readonly width: number;
}

type Part = { readonly glyph: 'segno' | 'coda' } | { readonly text: string; readonly soft?: true };

/** Segno, coda and words at the start of a bar; at its end what follows from there. */
export function barSigns(placed: PlacedBar, { size, width }: Paper, group: string): readonly Sign[] {
  const { bar } = placed;
  const signs: Sign[] = [];
  const put = (x: number, parts: readonly Part[]): void => {
    const wide = Math.min(partsWidth(parts, size), width);
    // At the edges of the paper a sign is moved in.
    const at = Math.max(0, Math.min(x, width - wide));
    signs.push({ x: at, width: wide, draw: (top) => drawParts(parts, at, top, size, group, width) });
  };
  const start: Part[] = [];
  if (bar.segno) start.push({ glyph: 'segno' });
  if (bar.coda) start.push({ glyph: 'coda' }, { text: msg('Coda') });
  if (bar.note) start.push({ text: bar.note, soft: true });
  if (start.length > 0) put(placed.x, start);
  const end = (parts: readonly Part[]): void => put(placed.x + placed.width - partsWidth(parts, size), parts);
  if (bar.toCoda) end([{ text: msg('To Coda') }, { glyph: 'coda' }]);
  for (const text of bar.after) end([{ text }]);
  for (const text of bar.differs)
    put(placed.x + 0.3 * size, [{ text: shortened(text, width, legible(NOTE * size), 'serif'), soft: true }]);
  return signs;
}

function lettering(part: Extract<Part, { text: string }>): {
  readonly face: Face;
  readonly share: number;
  readonly tone: Tone;
} {
  return part.soft ? { face: 'serif', share: NOTE, tone: 'soft' } : { face: 'serifBold', share: WORDS, tone: 'ink' };
}

function partWidth(part: Part, size: number): number {
  if ('glyph' in part) return GLYPHS[part.glyph].width * SIGN * size;
  const { face, share } = lettering(part);
  return textWidth(part.text, legible(share * size), face);
}

function partsWidth(parts: readonly Part[], size: number): number {
  return parts.reduce((sum, part) => sum + partWidth(part, size), (parts.length - 1) * APART * size);
}

function drawParts(
  parts: readonly Part[],
  x: number,
  top: number,
  size: number,
  group: string,
  most: number,
): readonly Mark[] {
  let at = x;
  return parts.map((part): Mark => {
    const here = at;
    const width = Math.min(partWidth(part, size), most - (here - x));
    at += width + APART * size;
    if ('glyph' in part)
      return { kind: 'glyph', glyph: part.glyph, x: here, y: top + 0.06 * size, size: SIGN * size, group };
    const { face, share, tone } = lettering(part);
    const text = { text: part.text, size: legible(share * size), face, width, tone, group };
    return { kind: 'text', x: here, y: top + 0.74 * size, ...text };
  });
}

/** Brackets over the endings: open at the right where the music goes on (Gould, Behind Bars, 2011, from memory). */
export function brackets(line: ChartLine, { size }: Paper, id: string): readonly Sign[] {
  const signs: Sign[] = [];
  const thickness = Math.max(0.6, 0.055 * size);
  for (let first = 0; first < line.bars.length; first++) {
    const from = line.bars[first] as PlacedBar;
    if (!from.bar.ending) continue;
    let last = first;
    while (
      !line.bars[last]?.bar.ending?.ends &&
      line.bars[last + 1]?.bar.ending &&
      !line.bars[last + 1]?.bar.ending?.begins
    )
      last++;
    const to = line.bars[last] as PlacedBar;
    const begins = from.bar.ending.begins;
    const text = begins ? endingText(from.bar.ending) : '';
    const closed = to.bar.ending?.ends && to.bar.repeatEnd;
    // Endings side by side stand in one row.
    const inset = 0.16 * size;
    const [x1, x2] = [from.x + (begins ? inset : 0), to.x + to.width - inset];
    const own = legible(WORDS * size);
    const group = `${id} ending ${first}`;
    signs.push({
      x: x1,
      width: x2 - x1,
      draw: (top) => {
        const y = top + 0.08 * size;
        const foot = top + (SIGN_ROW - 0.06) * size;
        const shown = shortened(text, Math.max(0, x2 - x1 - 0.4 * size), own, 'serifBold');
        const hook = (x: number): Mark => ({ kind: 'line', x1: x, y1: y, x2: x, y2: foot, thickness, square: true });
        const marks: Mark[] = [{ kind: 'line', x1, y1: y, x2, y2: y, thickness, square: true }];
        if (begins) marks.push(hook(x1));
        if (closed) marks.push(hook(x2));
        if (shown === '') return marks;
        const width = Math.min(textWidth(shown, own, 'serifBold'), Math.max(0.1, x2 - x1 - 0.3 * size));
        const number = { text: shown, size: own, face: 'serifBold' as const, width, group };
        return [...marks, { kind: 'text', x: x1 + 0.24 * size, y: top + 0.74 * size, ...number }];
      },
    });
    first = last;
  }
  return signs;
}
