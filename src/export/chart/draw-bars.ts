import { meterFigures, METER_SIZE, PAD, REPEAT, type ChartLine, type PlacedBar } from './chart-lines.js';
import { chordMarks } from './chord-name.js';
import { GLYPHS } from './glyphs.js';
import type { Mark } from './marks.js';
import { textWidth } from './text-widths.js';

/** Shares of the chord size. */
export const BARS = 1.64;
export const SLASHES = 0.92;
const BASELINE = 1.13;
const TICK = 0.2;

function thinOf(size: number): number {
  return Math.max(0.6, 0.055 * size);
}

/** Time signature, chords, and a slash or a tick for each beat. */
export function drawBar(
  placed: PlacedBar,
  top: number,
  style: { readonly size: number; readonly slashes: boolean },
  group: string,
): readonly Mark[] {
  const { size, slashes } = style;
  const height = (BARS + (slashes ? SLASHES : 0)) * size;
  const y = top + BASELINE * size;
  return [
    ...drawMeter(placed, top, size, group),
    ...placed.chords.flatMap(({ text, x, room }, i) =>
      chordMarks(text, { x, y, size, room, group: `${group} chord ${i}` }),
    ),
    ...drawFloor(placed, top + height, size, slashes, group),
    ...(slashes ? drawSlashes(placed, top + (BARS - 0.08) * size, size) : []),
  ];
}

/** Count over unit, behind the bar line of the first bar they are for (Gould, Behind Bars, 2011, from memory). */
function drawMeter({ bar, x, left, size: own }: PlacedBar, top: number, size: number, group: string): readonly Mark[] {
  if (!bar.meter) return [];
  const figures = meterFigures(bar);
  const figureSize = METER_SIZE * own;
  const widths = figures.map((text) => textWidth(text, figureSize, 'serifBold'));
  const wide = Math.max(...widths);
  const from = x + left - wide - 0.22 * own;
  return figures.map((text, i): Mark => {
    const width = widths[i] as number;
    const at = { x: from + (wide - width) / 2, y: top + (i === 0 ? 0.74 : 1.44) * size };
    return { kind: 'text', ...at, text, size: figureSize, face: 'serifBold', width, group: `${group} meter` };
  });
}

/** The ground the bars stand on: a hairline with a tick for each beat, so that lengths are seen; dashed where nothing is counted. */
function drawFloor(
  { bar, x, width }: PlacedBar,
  y: number,
  size: number,
  slashes: boolean,
  group: string,
): readonly Mark[] {
  const thickness = Math.max(0.4, 0.028 * size);
  const free = bar.kind === 'free';
  const floor: Mark = {
    kind: 'line',
    x1: x,
    y1: y,
    x2: x + width,
    y2: y,
    thickness,
    group: `${group} floor`,
    ...(free ? { dashed: true } : {}),
  };
  if (free || slashes) return [{ ...floor, tone: 'faint' }];
  const beat = width / bar.beats;
  const ticks = Array.from({ length: Math.ceil(bar.beats - 1e-6) - 1 }, (_, i): Mark => {
    const at = x + (i + 1) * beat;
    return { kind: 'line', x1: at, y1: y, x2: at, y2: y - TICK * size, thickness: 1.3 * thickness, tone: 'faint' };
  });
  return [{ ...floor, tone: 'faint' }, ...ticks];
}

function drawSlashes({ bar, x, width, size: own, right }: PlacedBar, top: number, size: number): readonly Mark[] {
  if (bar.kind === 'free') return [];
  const beat = width / bar.beats;
  const high = 0.66 * size;
  const wide = Math.min(GLYPHS.slash.width * high, 0.8 * beat);
  const first = x + PAD * own + (bar.repeatStart ? REPEAT * own : 0);
  return Array.from({ length: Math.ceil(bar.beats - 1e-6) }, (_, i): Mark => {
    // A part of a beat at the end has a smaller one.
    const share = Math.min(1, bar.beats - i);
    const at = Math.min(Math.max(x + PAD * own + i * beat, first), x + width - right - wide * share);
    const squeeze = wide / (GLYPHS.slash.width * high);
    const y = top + (1 - share) * high;
    return { kind: 'glyph', glyph: 'slash', x: at, y, size: high * share, squeeze, tone: 'soft' };
  });
}

/**
 * Bar lines from left to right: single, double where a section ends or the player jumps, heavy with dots at repeats, light and heavy
 * at the end (Gould, Behind Bars, 2011, from memory).
 */
export function barLines(
  line: ChartLine,
  top: number,
  height: number,
  size: number,
  last: boolean,
  nextBegins: boolean,
): readonly Mark[] {
  const thin = thinOf(size);
  const thick = 0.2 * size;
  const marks: Mark[] = [];
  const rule = (x: number, dashed = false): void => {
    const ends = { x1: x, y1: top, x2: x, y2: top + height };
    marks.push({ kind: 'line', ...ends, thickness: thin, barLine: true, ...(dashed ? { dashed: true } : {}) });
  };
  const heavy = (x: number): void => void marks.push({ kind: 'rect', x, y: top, width: thick, height });
  const dots = (x: number): void => {
    for (const share of [0.36, 0.64])
      marks.push({ kind: 'glyph', glyph: 'dot', x, y: top + share * height - 0.09 * size, size: 0.18 * size });
  };
  line.bars.forEach(({ bar, x, width, size: own }, i) => {
    const before = line.bars[i - 1]?.bar;
    const after = line.bars[i + 1]?.bar;
    const unit = own / size;
    if (bar.repeatStart) {
      const joined = before?.repeatEnd ?? false;
      heavy(joined ? x - thick / 2 : x);
      rule(x + (joined ? 0.5 : 1) * thick + 0.1 * size * unit);
      dots(x + thick + 0.2 * size * unit);
    } else if (i === 0) rule(x);
    const end = x + width;
    if (bar.repeatEnd) {
      const joined = after?.repeatStart ?? false;
      if (!joined) heavy(end - thick);
      rule(end - (joined ? 0.5 : 1) * thick - 0.1 * size * unit);
      dots(end - thick - 0.38 * size * unit);
      return;
    }
    if (after?.repeatStart) return;
    if (after === undefined && last) {
      heavy(end - thick);
      rule(end - thick - 0.12 * size);
      return;
    }
    rule(end, bar.kind === 'free' || after?.kind === 'free');
    if (bar.closes || (after === undefined && nextBegins)) rule(end - 0.16 * size);
  });
  return marks;
}
