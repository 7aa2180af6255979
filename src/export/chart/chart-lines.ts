import type { ChartBar, ChartSong } from './chart-song.js';
import { chordWidth } from './chord-name.js';
import { textWidth } from './text-widths.js';

/** A line of bars with what each takes. */
export interface ChartLine {
  readonly bars: readonly PlacedBar[];
  /** A section begins with it. */
  readonly begins: boolean;
}

export interface PlacedBar {
  readonly bar: ChartBar;
  readonly x: number;
  readonly width: number;
  /** Room that signs take at either side. */
  readonly left: number;
  readonly right: number;
  /** Size that its signs are drawn at. */
  readonly size: number;
  readonly chords: readonly PlacedName[];
}

export interface PlacedName {
  readonly text: string;
  readonly x: number;
  readonly room: number;
}

/** Lines of a chart on paper so wide, with the points that a beat takes. */
export interface ChartLines {
  readonly lines: readonly ChartLine[];
  readonly beatWidth: number;
  /** The least share of its wanted width that a chord's name gets; 1 where all have enough. */
  readonly fit: number;
  /** How much is missing to comfortable names, over all bars: 0 where none is cramped. */
  readonly cramped: number;
}

/** How far the bars of a line may go beyond the usual number of beats. */
const OVER = 1.25;
/** Shares of the chord size: behind a bar line, before one, for a repeat sign, before the next chord. */
export const PAD = 0.32;
const END = 0.36;
export const REPEAT = 0.62;
const BETWEEN = 0.22;
/** A name that gets this share of its width is still read at ease. */
const COMFORT = 0.85;

/** Width of a time signature at a chord size. */
export function meterWidth(bar: ChartBar, size: number): number {
  return bar.meter ? Math.max(...meterFigures(bar).map((text) => textWidth(text, METER_SIZE * size, 'serifBold'))) : 0;
}

export const METER_SIZE = 0.8;

/** Count over unit; a grouped count is written as its groups (Gould, Behind Bars, 2011, from memory). */
export function meterFigures({ meter }: ChartBar): readonly [string, string] {
  if (!meter) return ['', ''];
  const count = meter.grouping && meter.grouping.length > 1 ? meter.grouping.join('+') : String(meter.count);
  return [count, String(meter.unit)];
}

/**
 * Breaks a chart into lines of `perLine` bars. A beat takes the same width everywhere, so that beats stand under one another
 * down the page and a short or long bar throws its line out; only a bar too short for its own signs is wider.
 * Sections and the coda begin new lines.
 */
export function chartLines(song: ChartSong, perLine: number, width: number, size: number): ChartLines {
  const groups = broken(song.bars, perLine, song.usualBeats);
  const most = Math.max(
    1e-6,
    perLine * song.usualBeats,
    ...groups.map((bars) => bars.reduce((sum, { beats }) => sum + beats, 0)),
  );
  const beatWidth = width / most;
  let fit = 1;
  let missing = 0;
  const lines = groups.map((bars): ChartLine => {
    const wanted = bars.map((bar) => Math.max(bar.beats * beatWidth, leastWidth(bar, size)));
    const total = wanted.reduce((sum, each) => sum + each, 0);
    const share = Math.min(1, width / total);
    fit = Math.min(fit, share);
    let x = 0;
    const placed = bars.map((bar, i): PlacedBar => {
      const own = (wanted[i] as number) * share;
      const made = placeBar(bar, x, own, size * share);
      const shares = made.chords.map(({ text, room }) => room / chordWidth(text, size));
      fit = Math.min(fit, ...shares);
      missing += Math.max(0, ...shares.map((each) => COMFORT - each));
      x += own;
      return made;
    });
    return { bars: placed, begins: bars.some(({ head }) => head !== undefined) };
  });
  return { lines, beatWidth, fit, cramped: missing / Math.max(1, song.bars.length) };
}

function broken(bars: readonly ChartBar[], perLine: number, usualBeats: number): readonly (readonly ChartBar[])[] {
  const lines: ChartBar[][] = [];
  let count = 0;
  let beats = 0;
  bars.forEach((bar, place) => {
    const line = lines.at(-1);
    const before = bars[place - 1];
    const next = bars[place + 1];
    const headed =
      bar.kind === 'pickup' ? next?.head !== undefined : bar.head !== undefined && before?.kind !== 'pickup';
    const full = count >= perLine || beats + bar.beats > OVER * perLine * usualBeats + 1e-6;
    if (!line || headed || bar.coda || full) {
      lines.push([bar]);
      count = 0;
      beats = 0;
    } else line.push(bar);
    if (bar.kind !== 'pickup') count++;
    beats += bar.beats;
  });
  return lines;
}

function leftOf(bar: ChartBar, size: number): number {
  const meter = bar.meter ? meterWidth(bar, size) + 0.22 * size : 0;
  return PAD * size + (bar.repeatStart ? REPEAT * size : 0) + meter;
}

function rightOf(bar: ChartBar, size: number): number {
  return END * size + (bar.repeatEnd ? REPEAT * size : 0);
}

function leastWidth(bar: ChartBar, size: number): number {
  return leftOf(bar, size) + rightOf(bar, size) + 0.6 * size * Math.max(1, bar.chords.length);
}

function placeBar(bar: ChartBar, x: number, width: number, size: number): PlacedBar {
  const left = leftOf(bar, size);
  const right = rightOf(bar, size);
  const from = x + left;
  const to = x + width - right;
  return {
    bar,
    x,
    width,
    left,
    right,
    size,
    chords: placeChords(bar, x + PAD * size, from, to, width / bar.beats, size),
  };
}

/** Names on their beats; where one would stand on another's place all share the bar by what each wants. */
function placeChords(
  { chords }: ChartBar,
  zero: number,
  from: number,
  to: number,
  beatWidth: number,
  size: number,
): readonly PlacedName[] {
  const gap = BETWEEN * size;
  const xs = chords.map(({ beat }) => Math.max(from, zero + beat * beatWidth));
  const rooms = xs.map((x, i) => (i + 1 < xs.length ? (xs[i + 1] as number) - gap : to) - x);
  const shares = chords.map(({ text }, i) => (rooms[i] as number) / chordWidth(text, size));
  if (shares.every((share) => share >= 0.5))
    return chords.map(({ text }, i) => ({ text, x: xs[i] as number, room: rooms[i] as number }));
  const wanted = chords.map(({ text }) => chordWidth(text, size));
  const sum = wanted.reduce((total, each) => total + each, 0);
  const between = Math.min(gap, (0.3 * (to - from)) / chords.length);
  const free = to - from - between * (chords.length - 1);
  let at = from;
  return chords.map(({ text }, i): PlacedName => {
    const room = (free * (wanted[i] as number)) / sum;
    const x = at;
    at += room + between;
    return { text, x, room };
  });
}
