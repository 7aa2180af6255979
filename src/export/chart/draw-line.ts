import { sectionColour } from '../../model/section-colours.js';
import type { ChartLine } from './chart-lines.js';
import { BARS, barLines, drawBar, SLASHES } from './draw-bars.js';
import { drawHead, GUTTER } from './draw-head.js';
import { barSigns, brackets, SIGN_ROW } from './draw-signs.js';
import type { Mark } from './marks.js';
import { legible } from './paper.js';
import { rowsOf } from './sign-rows.js';
import { textWidth } from './text-widths.js';

/** A line of bars drawn from its top left corner, and how high it is. */
export interface DrawnLine {
  readonly marks: readonly Mark[];
  readonly height: number;
  /** A section begins with it. */
  readonly begins: boolean;
}

export interface LineStyle {
  /** Size of the chords' names in points. */
  readonly size: number;
  /** Width of the paper that bars may take. */
  readonly width: number;
  readonly slashes: boolean;
  readonly barNumbers: boolean;
}

/** Draws a line of bars with what stands over it. */
export function drawLine(line: ChartLine, style: LineStyle, id: string, last: boolean, nextBegins: boolean): DrawnLine {
  const { size } = style;
  const begun = line.bars.find(({ bar }) => bar.head)?.bar.head;
  const head = begun ? drawHead(begun, style, id) : { marks: [], height: 0 };
  const signs = [
    ...brackets(line, style, id),
    ...line.bars.flatMap((bar, i) => barSigns(bar, style, `${id} sign ${i}`)),
  ];
  const rows = rowsOf(signs, 0.3 * size);
  const above = Math.max(-1, ...rows) + 1;
  const top = head.height + above * SIGN_ROW * size;
  const height = (BARS + (style.slashes ? SLASHES : 0)) * size;
  const marks: Mark[] = [...head.marks];
  signs.forEach((sign, i) => marks.push(...sign.draw(top - ((rows[i] as number) + 1) * SIGN_ROW * size)));
  line.bars.forEach((placed, i) => marks.push(...drawBar(placed, top, style, `${id} bar ${i}`)));
  marks.push(...barLines(line, top, height, size, last, nextBegins));
  const letter = line.bars.find(({ bar }) => bar.kind !== 'pickup')?.bar.letter ?? '';
  // The colour in the gutter tells at a glance which lines are of one material.
  if (letter !== '')
    marks.push({ kind: 'rect', x: -GUTTER * size, y: top, width: 0.16 * size, height, fill: sectionColour(letter) });
  if (style.barNumbers) marks.push(...drawNumber(line, top, size, id));
  return { marks, height: top + height, begins: line.begins };
}

function drawNumber(line: ChartLine, top: number, size: number, id: string): readonly Mark[] {
  const first = line.bars.find(({ bar }) => bar.kind === 'bar')?.bar;
  if (!first) return [];
  const text = String(first.number);
  const own = legible(0.52 * size);
  const width = textWidth(text, own, 'sans');
  const number = { text, size: own, face: 'sans' as const, width, group: `${id} number` };
  return [{ kind: 'text', x: -width - 0.3 * size, y: top + 0.42 * size, ...number, tone: 'soft' }];
}
