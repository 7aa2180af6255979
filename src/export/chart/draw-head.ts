import { countedAs } from '../../music/strum-patterns.js';
import { sectionColour } from '../../model/section-colours.js';
import type { ChartHead } from './chart-song.js';
import { drawStrum, strokeMiddle, strumWidth } from './draw-strum.js';
import type { Mark } from './marks.js';
import { legible } from './paper.js';
import { shortened, textWidth } from './text-widths.js';

/** Shares of the chord size. */
const ROW = 1.5;
const NAME = 0.96;
const WORDS = 0.62;
const STRUM = 1.02;
const COUNT = 0.46;
/** In points. */
const LEAST_COUNT = 5.2;
const CUE = 0.64;
const CUE_ROW = 0.92;
/** Room left of the bars for the section's letter and the number of the first bar. */
export const GUTTER = 1.75;

/**
 * What stands over the first line of a section: its letter in a box in the gutter (rehearsal marks are enclosed: Gould, Behind
 * Bars, 2011, from memory), its name, how it is strummed, and the user's lines. Drawn from the top left corner of the bars.
 */
export function drawHead(
  head: ChartHead,
  style: { readonly size: number; readonly width: number },
  id: string,
): { readonly marks: readonly Mark[]; readonly height: number } {
  const { size, width } = style;
  const own = NAME * size;
  const marks: Mark[] = [...letterBox(head.letter, size, id)];
  const gap = 1.1 * size;
  // A section without a name of its own is called by its letter, which stands there already.
  const name = head.name === head.letter ? '' : shortened(head.name, width, own, 'serifBold');
  const nameWide = textWidth(name, own, 'serifBold');
  const group = `${id} name`;
  if (name !== '')
    marks.push({ kind: 'text', x: 0, y: size, text: name, size: own, face: 'serifBold', width: nameWide, group });
  let x = name === '' ? 0.1 * size : nameWide + gap;
  let rowTop = 0;
  let height = ROW * size;
  const below = (wanted: number): void => {
    if (x <= 0.1 * size || x + wanted <= width) return;
    x = 0;
    rowTop = height;
    height += ROW * size;
  };
  if (head.strum) {
    const wanted = strumWidth(head.strum) * STRUM * size;
    below(wanted);
    const share = Math.min(1, (width - x) / wanted);
    const unit = STRUM * size * share;
    marks.push(...drawStrum(head.strum, x, rowTop + 0.04 * size, unit));
    const countSize = Math.max(COUNT * size, LEAST_COUNT) * share;
    const { parts, strokes } = head.strum;
    [...strokes].forEach((_, i) => {
      const text = countedAs(parts, i);
      const wide = textWidth(text, countSize, 'sans');
      const at = x + strokeMiddle(parts, i) * unit - wide / 2;
      const y = rowTop + 1.46 * size;
      const tone = i % parts === 0 ? 'ink' : 'soft';
      const count = { text, size: countSize, face: 'sans' as const, width: wide, group: `${id} count ${i}` };
      marks.push({ kind: 'text', x: at, y, ...count, tone });
    });
    height += 0.36 * size;
    x += wanted * share + gap;
  }
  if (head.swing) {
    const text = shortened(head.swing, width, legible(WORDS * size), 'serif');
    const wide = textWidth(text, legible(WORDS * size), 'serif');
    below(wide);
    const swing = { text, size: legible(WORDS * size), face: 'serif' as const, width: wide, group: `${id} swing` };
    marks.push({ kind: 'text', x, y: rowTop + size, ...swing });
  }
  head.cues.forEach((cue, i) => {
    const text = shortened(cue, width, legible(CUE * size), 'serif');
    const wide = textWidth(text, legible(CUE * size), 'serif');
    const line = { text, size: legible(CUE * size), face: 'serif' as const, width: wide, group: `${id} cue ${i}` };
    marks.push({ kind: 'text', x: 0, y: height + 0.56 * size, ...line, tone: 'soft' });
    height += CUE_ROW * size;
  });
  return { marks, height: height + (head.cues.length > 0 ? 0.1 * size : 0) };
}

function letterBox(letter: string, size: number, id: string): readonly Mark[] {
  if (letter === '') return [];
  const most = (GUTTER - 0.35) * size;
  const own = 0.78 * size;
  const wanted = textWidth(letter, own, 'sansBold');
  const share = Math.min(1, (most - 0.3 * size) / wanted);
  const wide = wanted * share;
  const box = Math.min(most, Math.max(1.12 * size, wide + 0.5 * size));
  const x = -GUTTER * size;
  const y = 0.08 * size;
  const high = 1.16 * size;
  const line = Math.max(0.7, 0.06 * size);
  const colour = sectionColour(letter);
  const edge = (x1: number, y1: number, x2: number, y2: number): Mark => ({
    kind: 'line',
    x1,
    y1,
    x2,
    y2,
    thickness: line,
    square: true,
  });
  return [
    { kind: 'rect', x, y: y + high - 0.16 * size, width: box, height: 0.16 * size, fill: colour },
    edge(x, y, x + box, y),
    edge(x, y + high, x + box, y + high),
    edge(x, y, x, y + high),
    edge(x + box, y, x + box, y + high),
    {
      kind: 'text',
      x: x + (box - wide) / 2,
      y: y + 0.83 * size,
      text: letter,
      size: own,
      face: 'sansBold',
      width: wide,
      group: `${id} letter`,
    },
  ];
}
