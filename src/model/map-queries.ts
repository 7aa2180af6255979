import { msg, str } from '@lit/localize';
import { beatsOf as lengthInBeats, sameMeter, type Meter } from '../music/meter.js';
import type { BarIndex, BeatIndex, Seconds } from '../music/units.js';
import { sameTime, TIME_TOLERANCE } from './lock-holds.js';
import { countUpTo, indexOf, nearestPlace } from './map-index.js';
import type { Bar, ChordMark, SongMap, Span } from './song-map.js';

/** The bars of a map, in order; the same array each time. */
export function barsOf(map: SongMap): readonly Bar[] {
  return indexOf(map).bars;
}

/** The bar, or undefined when there is no such bar. */
export function barOf(map: SongMap, bar: BarIndex): Bar | undefined {
  return indexOf(map).bars[bar];
}

/** Where a bar ends: where the next span begins, or the map ends. NaN when there is no such bar. */
export function barEnd(map: SongMap, bar: BarIndex): Seconds {
  return indexOf(map).ends[bar] ?? NaN;
}

/** Where a span ends. */
export function spanEnd(map: SongMap, span: number): Seconds {
  return map.spans[span + 1]?.start ?? map.end;
}

/** The span at a time, both as it is and by its place; undefined outside [start, end). */
export function spanAt(map: SongMap, time: Seconds): { readonly span: Span; readonly place: number } | undefined {
  if (time < map.start - TIME_TOLERANCE || time >= map.end) return undefined;
  let low = 0;
  let high = map.spans.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((map.spans[middle]?.start ?? Infinity) <= time + TIME_TOLERANCE) low = middle + 1;
    else high = middle;
  }
  const span = map.spans[low - 1];
  return span && { span, place: low - 1 };
}

/** The bar that sounds at a time; undefined in a lead-in, a free stretch, a tail or outside the map. */
export function barAt(map: SongMap, time: Seconds): BarIndex | undefined {
  const { beats, barOfBeat, ends } = indexOf(map);
  const bar = barOfBeat[countUpTo(beats, time + TIME_TOLERANCE) - 1];
  return bar !== undefined && time + TIME_TOLERANCE < (ends[bar] ?? -Infinity) ? bar : undefined;
}

/** The bar that starts at a time; undefined when none does. */
export function barStartingAt(map: SongMap, time: Seconds): BarIndex | undefined {
  const bar = barAt(map, time);
  return bar !== undefined && sameTime(indexOf(map).bars[bar]?.start ?? NaN, time) ? bar : undefined;
}

/** A beat, where it stands and how long it sounds. */
export interface BeatPlace {
  readonly bar: BarIndex;
  readonly beat: BeatIndex;
  readonly start: Seconds;
  readonly end: Seconds;
}

/** The beat that sounds at a time; undefined where no bar is. */
export function beatAt(map: SongMap, time: Seconds): BeatPlace | undefined {
  const bar = barAt(map, time);
  if (bar === undefined) return undefined;
  const index = indexOf(map);
  return placeOf(map, countUpTo(index.beats, time + TIME_TOLERANCE) - 1);
}

/** All beats of all bars, ascending; the same array each time. */
export function beatTimes(map: SongMap): readonly Seconds[] {
  return indexOf(map).beats;
}

/** The beat nearest to a time; undefined only in a map without bars. */
export function nearestBeat(map: SongMap, time: Seconds): BeatPlace | undefined {
  return placeOf(map, nearestPlace(indexOf(map).beats, time));
}

/** The beat `steps` beats after (before, when negative) the one at or before `time`; stops at the first and last. */
export function beatFrom(map: SongMap, time: Seconds, steps: number): BeatPlace | undefined {
  const { beats } = indexOf(map);
  const here = countUpTo(beats, time + TIME_TOLERANCE) - 1;
  // From between two beats, or from before the first, one step back lands on the beat just passed.
  const between = here < 0 || !sameTime(beats[here] ?? NaN, time);
  const target = here + steps + (steps < 0 && between ? 1 : 0);
  return placeOf(map, Math.min(Math.max(target, 0), beats.length - 1));
}

function placeOf(map: SongMap, beat: number): BeatPlace | undefined {
  const { beats, barOfBeat, firstBeat, bars, ends } = indexOf(map);
  const start = beats[beat];
  const bar = barOfBeat[beat];
  if (start === undefined || bar === undefined) return undefined;
  const inBar = beat - (firstBeat[bar] ?? 0);
  return { bar, beat: inBar, start, end: bars[bar]?.beats[inBar + 1] ?? ends[bar] ?? NaN };
}

/** The bar whose start is nearest to a time; undefined only in a map without bars. */
export function nearestBar(map: SongMap, time: Seconds): BarIndex | undefined {
  const { beats, barOfBeat, bars } = indexOf(map);
  const at = barOfBeat[Math.max(0, countUpTo(beats, time) - 1)];
  if (at === undefined) return undefined;
  const here = bars[at]?.start ?? NaN;
  const next = bars[at + 1]?.start ?? Infinity;
  return Math.abs(next - time) < Math.abs(time - here) ? at + 1 : at;
}

/** The bar line nearest to a time: a start of a bar, or an end where no bar follows. Undefined without bars. */
export function nearestBarLine(map: SongMap, time: Seconds): Seconds | undefined {
  const bar = nearestBar(map, time);
  if (bar === undefined) return undefined;
  const { bars, ends } = indexOf(map);
  const lines = [bars[bar]?.start ?? NaN, ends[bar] ?? NaN, ends[bar - 1] ?? NaN].filter((line) => !Number.isNaN(line));
  return lines.reduce((best, line) => (Math.abs(line - time) < Math.abs(best - time) ? line : best));
}

/** A bar's number as said and shown: whole bars count from 1, a pickup has that of the bar before it, 0 in front of all. */
export function barNumber(map: SongMap, bar: BarIndex): number {
  return indexOf(map).numbers[bar] ?? bar + 1;
}

/** "bar 37"; a pickup in front of all is bar 0, a later one "the pickup to bar 38". */
export function barName(map: SongMap, bar: BarIndex): string {
  const number = barNumber(map, bar);
  return barOf(map, bar)?.pickup && number > 0 ? msg(str`the pickup to bar ${number + 1}`) : msg(str`bar ${number}`);
}

/** The bar with a number, 0 being the pickup in front of all; undefined when there is none. */
export function barOfNumber(map: SongMap, number: number): BarIndex | undefined {
  const { bars, numbers } = indexOf(map);
  const bar = numbers.findIndex((own, i) => own === number && (number === 0 || !bars[i]?.pickup));
  return bar < 0 ? undefined : bar;
}

/** The time signature that prevails at a time: of the newest lock on it there, else of the song. */
export function prevailingAt(map: SongMap, time: Seconds): Meter {
  for (let i = map.locks.length - 1; i >= 0; i--) {
    const lock = map.locks[i];
    if (lock?.kind !== 'meter') continue;
    if (time >= lock.from - TIME_TOLERANCE && time < lock.to - TIME_TOLERANCE) return lock.meter;
  }
  return map.prevailing;
}

/** True when a bar's measure differs from the prevailing time signature. A pickup is never irregular. */
export function isIrregular(map: SongMap, bar: BarIndex): boolean {
  const found = indexOf(map).bars[bar];
  return found !== undefined && !found.pickup && !sameMeter(found.meter, prevailingAt(map, found.start));
}

/** All irregular bars, ascending. */
export function irregularBars(map: SongMap): readonly BarIndex[] {
  return indexOf(map)
    .bars.map((_, bar) => bar)
    .filter((bar) => isIrregular(map, bar));
}

/** First and last bar of a section, both included. */
export interface BarRange {
  readonly first: BarIndex;
  readonly last: BarIndex;
}

/** The bars of a section, by its place among the sections; undefined when there is no such section or no bar. */
export function sectionBars(map: SongMap, section: number): BarRange | undefined {
  const found = map.sections[section];
  const first = found && nearestBar(map, found.start);
  if (first === undefined) return undefined;
  const next = map.sections[section + 1];
  const after = next ? nearestBar(map, next.start) : indexOf(map).bars.length;
  return after === undefined ? undefined : { first, last: after - 1 };
}

/** Place of the section a bar belongs to; undefined when the map has no sections. */
export function sectionOfBar(map: SongMap, bar: BarIndex): number | undefined {
  const start = indexOf(map).bars[bar]?.start;
  if (start === undefined || map.sections.length === 0) return undefined;
  let place = 0;
  while ((map.sections[place + 1]?.start ?? Infinity) <= start + TIME_TOLERANCE) place++;
  return place;
}

/** A chord with its place in a bar: 0 is the first beat, 1.5 half-way between the second and the third. */
export interface PlacedChord {
  readonly chord: ChordMark;
  readonly beat: number;
}

/** The chords that begin in a bar, on its beats. */
export function chordsInBar(map: SongMap, bar: BarIndex): readonly PlacedChord[] {
  const { bars, ends } = indexOf(map);
  const found = bars[bar];
  const end = ends[bar];
  if (!found || end === undefined) return [];
  const placed: PlacedChord[] = [];
  for (let i = firstChordFrom(map, found.start); i < map.chords.length; i++) {
    const chord = map.chords[i];
    if (!chord || chord.time >= end - TIME_TOLERANCE) break;
    placed.push({ chord, beat: beatPosition(found, end, chord.time) });
  }
  return placed;
}

/** The chord that sounds at a time; undefined before the first. */
export function chordAt(map: SongMap, time: Seconds): ChordMark | undefined {
  return map.chords[firstChordFrom(map, time + 2 * TIME_TOLERANCE) - 1];
}

/** Place of the first chord at or after a time. */
function firstChordFrom(map: SongMap, time: Seconds): number {
  let low = 0;
  let high = map.chords.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((map.chords[middle]?.time ?? Infinity) < time - TIME_TOLERANCE) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Where in a bar a time lies, in beats from 0: whole on a beat. A part of a beat at the end counts by its share. */
export function beatPosition(bar: Bar, end: Seconds, time: Seconds): number {
  const beat = Math.max(0, countUpTo(bar.beats, time + TIME_TOLERANCE) - 1);
  const start = bar.beats[beat] ?? bar.start;
  const next = bar.beats[beat + 1];
  if (sameTime(time, start)) return beat;
  const length = next === undefined ? lengthInBeats(bar.meter) - beat : 1;
  return beat + ((time - start) / ((next ?? end) - start)) * length;
}

/** The time of a place in a bar: the inverse of beatPosition; clipped to the bar. */
export function timeOfPosition(bar: Bar, end: Seconds, position: number): Seconds {
  const beat = Math.min(Math.max(Math.floor(position), 0), bar.beats.length - 1);
  const start = bar.beats[beat] ?? bar.start;
  const next = bar.beats[beat + 1];
  const length = next === undefined ? lengthInBeats(bar.meter) - beat : 1;
  const share = Math.min(Math.max((position - beat) / length, 0), 1);
  return share === 0 ? start : start + share * ((next ?? end) - start);
}
