import { msg, str } from '@lit/localize';
import { clockText } from '../../music/clock-text.js';
import { beatsOf } from '../../music/meter.js';
import { numberText } from '../../music/number-text.js';
import type { Seconds } from '../../music/units.js';
import type { ChartOptions } from '../../model/chart-options.js';
import { formOf, type FormSection } from '../../model/form.js';
import { barEnd, barNumber, barsOf, isIrregular } from '../../model/map-queries.js';
import { mixed, sectionColour } from '../../model/section-colours.js';
import type { SongMap } from '../../model/song-map.js';
import { oneLine } from '../one-line.js';
import { factsOf } from './chart-facts.js';
import type { ChartLayout } from './layout.js';
import type { Mark, Tone } from './marks.js';
import { MARGIN, pageSize } from './paper.js';
import type { Face } from './face.js';
import { shortened, textWidth } from './text-widths.js';

/** Seconds that a row may stand for; the shortest with which the song takes no more than MOST_ROWS. */
const ROW_SECONDS = [10, 15, 20, 30, 40, 60, 90, 120, 180, 240] as const;
const MOST_ROWS = 7;
const BAND = 40;
const TALLEST_ROW = 74;
/** Room left of the rows for their times. */
const TIMES = 30;

/**
 * The whole song on one page, to scale: above all of it in one band, its sections as long as they sound, below row after row of
 * equal time with every bar and beat where it falls.
 */
export function layOutPoster(map: SongMap, options: Pick<ChartOptions, 'paper'>): ChartLayout {
  const page = pageSize({ paper: options.paper, landscape: true });
  const title = oneLine(map.title);
  const marks: Mark[] = [];
  const width = page.width - 2 * MARGIN;
  put(marks, shortened(title, width, 24, 'serifBold'), MARGIN, MARGIN + 19, 24, 'serifBold', 'title');
  const form = formOf(map);
  const { bars, seconds } = form.totals;
  const facts = [clockText(seconds), msg(str`${bars} bars`), ...factsOf(map)].join('  ·  ');
  put(marks, shortened(facts, width, 10.5, 'sans'), MARGIN, MARGIN + 36, 10.5, 'sans', 'facts', 'soft');
  const sections = form.parts.flatMap((part) => (part.kind === 'section' ? [part] : []));
  const bandTop = MARGIN + 48;
  const across: Scale = { from: 0, until: map.recording.duration, x: MARGIN, width };
  marks.push(...drawSong(sections, across, bandTop));
  const top = bandTop + BAND + 34;
  const foot = page.height - MARGIN - 16;
  const perRow = ROW_SECONDS.find((each) => seconds / each <= MOST_ROWS) ?? Math.ceil(seconds / MOST_ROWS);
  const count = Math.max(1, Math.ceil(seconds / perRow - 1e-9));
  const high = Math.min(TALLEST_ROW, (foot - top) / count);
  for (let i = 0; i < count; i++) {
    const row: Scale = { from: i * perRow, until: (i + 1) * perRow, x: MARGIN + TIMES, width: width - TIMES };
    marks.push(...drawRow(map, sections, row, top + i * high, high, `row ${i}`));
  }
  const legend = msg(
    str`Each row lasts ${perRow} s; a bar is as wide as it is long. A number under a bar: its beats, where they are not the usual ones.`,
  );
  put(marks, shortened(legend, width, 8.5, 'sans'), MARGIN, page.height - MARGIN + 2, 8.5, 'sans', 'legend', 'soft');
  return { title, ...page, pages: [{ marks }], size: 0, perLine: 0, fit: 1 };
}

/** A stretch of time drawn from x on over so many points. */
interface Scale {
  readonly from: Seconds;
  readonly until: Seconds;
  readonly x: number;
  readonly width: number;
}

function xAt({ from, until, x, width }: Scale, time: Seconds): number {
  return x + ((Math.min(Math.max(time, from), until) - from) / (until - from)) * width;
}

function put(
  marks: Mark[],
  text: string,
  x: number,
  y: number,
  size: number,
  face: Face,
  group: string,
  tone: Tone = 'ink',
): void {
  if (text !== '')
    marks.push({ kind: 'text', x, y, text, size, face, width: textWidth(text, size, face), group, tone });
}

/** A colour made so pale that ink is read on it. */
function pale(colour: string): string {
  return mixed(colour, 255, 0.7);
}

/** All sections in one band with their letters and names, and the clock below. */
function drawSong(sections: readonly FormSection[], scale: Scale, y: number): readonly Mark[] {
  const marks: Mark[] = [
    { kind: 'line', x1: scale.x, y1: y + BAND, x2: scale.x + scale.width, y2: y + BAND, thickness: 0.5, tone: 'soft' },
  ];
  sections.forEach(({ from, to, letter, name }, i) => {
    const [x1, x2] = [xAt(scale, from), xAt(scale, to)];
    const wide = Math.max(0.5, x2 - x1 - 1);
    const colour = sectionColour(letter);
    marks.push({ kind: 'rect', x: x1, y, width: wide, height: BAND, fill: pale(colour) });
    marks.push({ kind: 'rect', x: x1, y: y + BAND - 5, width: wide, height: 5, fill: colour });
    const sign = oneLine(letter);
    if (textWidth(sign, 15, 'sansBold') + 6 <= wide) put(marks, sign, x1 + 4, y + 16, 15, 'sansBold', `song ${i}`);
    const label = oneLine(name) === sign ? '' : shortened(oneLine(name), wide - 7, 9, 'serif');
    if ([...label].length > 2) put(marks, label, x1 + 4, y + 29, 9, 'serif', `song name ${i}`);
  });
  const step = [10, 15, 30, 60, 120].find((each) => ((scale.until - scale.from) / each) * 34 <= scale.width) ?? 300;
  for (let time = 0; time <= scale.until; time += step) {
    const x = xAt(scale, time);
    marks.push({ kind: 'line', x1: x, y1: y + BAND, x2: x, y2: y + BAND + 4, thickness: 0.5, tone: 'soft' });
    const text = clockText(time);
    const wide = textWidth(text, 8, 'sans');
    put(marks, text, Math.min(x, scale.x + scale.width - wide), y + BAND + 12, 8, 'sans', `clock ${time}`, 'soft');
  }
  return marks;
}

/** A stretch of the song: names of sections, bars in their colours with their numbers, a tick for each beat. */
function drawRow(
  map: SongMap,
  sections: readonly FormSection[],
  row: Scale,
  y: number,
  high: number,
  id: string,
): readonly Mark[] {
  const marks: Mark[] = [];
  const top = y + 0.3 * high;
  const base = y + 0.72 * high;
  const size = Math.min(10.5, 0.17 * high);
  const small = Math.min(8, 0.13 * high);
  put(marks, clockText(row.from), MARGIN, base - 0.14 * high, small + 0.5, 'sans', `${id} clock`, 'soft');
  const ends = { x1: row.x, x2: xAt(row, map.recording.duration) };
  marks.push({ kind: 'line', ...ends, y1: base, y2: base, thickness: 0.5, tone: 'faint' });
  const seen = sections.filter(({ from, to }) => from < row.until - 1e-6 && to > row.from + 1e-6);
  for (const [i, { from, to, letter, name }] of seen.entries()) {
    const [x1, x2] = [xAt(row, from), xAt(row, to)];
    const colour = sectionColour(letter);
    marks.push({ kind: 'rect', x: x1, y: top, width: x2 - x1, height: base - top, fill: pale(colour) });
    marks.push({ kind: 'rect', x: x1, y: base - 3, width: x2 - x1, height: 3, fill: colour });
    if (from < row.from - 1e-6) continue;
    const sign = oneLine(letter);
    const signWide = textWidth(sign, size, 'sansBold');
    if (signWide > x2 - x1) continue;
    put(marks, sign, x1, top - 0.06 * high, size, 'sansBold', `${id} section ${i}`);
    const label = oneLine(name) === sign ? '' : shortened(oneLine(name), x2 - x1 - signWide - 8, size, 'serif');
    if ([...label].length > 2)
      put(marks, label, x1 + signWide + 4, top - 0.06 * high, size, 'serif', `${id} name ${i}`);
  }
  marks.push(...drawRowBars(map, row, { top, base, small }, id));
  return marks;
}

function drawRowBars(
  map: SongMap,
  row: Scale,
  { top, base, small }: { readonly top: number; readonly base: number; readonly small: number },
  id: string,
): readonly Mark[] {
  const marks: Mark[] = [];
  let free = -Infinity;
  barsOf(map).forEach((bar, i) => {
    const end = barEnd(map, i);
    if (end <= row.from + 1e-6 || bar.start >= row.until - 1e-6) return;
    for (const beat of bar.beats.slice(1)) {
      if (beat < row.from || beat > row.until) continue;
      const x = xAt(row, beat);
      marks.push({ kind: 'line', x1: x, y1: base - 3, x2: x, y2: base - 8, thickness: 0.4, tone: 'soft' });
    }
    if (end <= row.until + 1e-6) marks.push(rule(xAt(row, end), top, base));
    if (bar.start < row.from - 1e-6) return;
    const x = xAt(row, bar.start);
    marks.push(rule(x, top, base));
    const number = bar.pickup ? '' : String(barNumber(map, i));
    const wide = textWidth(number, small, 'sans');
    // A number stands where the one before leaves room.
    if (x + 2 >= free && x + 2 + wide <= xAt(row, end) - 0.5) {
      put(marks, number, x + 2, top + 1.05 * small, small, 'sans', `${id} number ${i}`, 'soft');
      free = x + 2 + wide + 3;
    }
    if (!isIrregular(map, i)) return;
    const beats = numberText(beatsOf(bar.meter), 2);
    marks.push({ kind: 'rect', x, y: base, width: Math.max(1, xAt(row, end) - x), height: 2 });
    put(marks, beats, x + 1, base + 3 + 1.05 * small, small + 1, 'sansBold', `${id} beats ${i}`);
  });
  return marks;
}

function rule(x: number, y1: number, y2: number): Mark {
  return { kind: 'line', x1: x, y1, x2: x, y2, thickness: 0.7, barLine: true };
}
