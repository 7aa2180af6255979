import type { Doubt } from '../../../src/model/song-map.js';
import { beatsOf } from '../../../src/music/meter.js';
import { barScore, type MeasuredBar } from '../measures/bars.js';
import type { KnownSong } from '../measures/judge.js';

/** What the simulated user sees of a map: its beats, and which of them begin a bar. */
export interface SeenBeat {
  readonly time: number;
  readonly starts: boolean;
}

/**
 * One lock: one kind, one time, at most one number (a length in beats, or where a beat goes). `reading`: the other reading of
 * the doubt at that time, which names the lock.
 */
export interface Correction {
  readonly kind: 'half' | 'double' | 'reading' | 'downbeat' | 'bar-length' | 'beat' | 'no-beat' | 'move';
  readonly time: number;
  readonly value?: number;
}

const NEAR = 0.07;
/** A beat off by less than this share of a beat is moved; one further off is another beat. */
const MOVED = 0.35;

/** The known bars that are judged; of several ways to write the same beats, the one nearest to what is seen. */
export function judgedBars(known: KnownSong, seen: readonly SeenBeat[]): readonly MeasuredBar[] {
  const pair = ([start, beats]: readonly [number, number]): MeasuredBar => ({ start, beats });
  let bars = (known.bars ?? []).map(pair);
  for (const { from, to, bars: ways } of known.either ?? []) {
    const hits = ways.map((way) => barScore(way.map(pair), seenBars(seen)).hits);
    const best = (ways[hits.indexOf(Math.max(...hits))] ?? []).map(pair);
    const rest = bars.filter(({ start }) => start < from - 0.01 || start >= to - 0.01);
    bars = [...rest, ...best].sort((a, b) => a.start - b.start);
  }
  const [from, to] = known.judged;
  const whole = known.last_bar_open ? bars.slice(0, -1) : bars;
  return whole.filter(({ start }) => start >= from && start <= to);
}

export function seenBars(seen: readonly SeenBeat[]): MeasuredBar[] {
  const firsts = seen.flatMap(({ starts }, i) => (starts ? [i] : []));
  return firsts.map((at, n) => ({ start: (seen[at] as SeenBeat).time, beats: (firsts[n + 1] ?? seen.length) - at }));
}

/**
 * The judged bars that the map has wrong, as their places in judgedBars. A last bar may run on into silence: when the map's
 * last one begins there, it is right however long.
 */
export function wrongBars(known: KnownSong, seen: readonly SeenBeat[]): readonly number[] {
  const found = seenBars(seen);
  const end = known.last_bar_open ? undefined : known.bars?.[known.bars.length - 1]?.[0];
  const runsOn = (i: number): boolean => (found[i + 1]?.start ?? Infinity) > known.judged[1];
  return judgedBars(known, seen).flatMap((bar, i) => {
    const isFound = found.some(
      ({ start, beats }, n) =>
        Math.abs(start - bar.start) <= NEAR && (beats === bar.beats || (bar.start === end && runsOn(n))),
    );
    return isFound ? [] : [i];
  });
}

/** True when the map's beats are half or twice as many as the song's: one decision about the whole song is wrong. */
export function levelIsWrong(known: KnownSong, seen: readonly SeenBeat[]): boolean {
  return levelChange(known, seen) !== undefined;
}

/** A beat that differs by less than this share is the same tempo. */
const SAME_TEMPO = 0.04;

/**
 * The doubt about the whole song, among those that open the list, whose other reading is right where the shown one is wrong:
 * the song's tempo, or at that tempo the number of beats in its commonest bar. A person takes it at once.
 */
export function rightReading(
  known: KnownSong,
  seen: readonly SeenBeat[],
  doubts: readonly Doubt[],
): Correction | undefined {
  const period = middleInterval(known.beats.map(([time]) => time));
  const isTempo = (other: number): boolean => Math.abs(other / period - 1) < SAME_TEMPO;
  const tempoIsRight = isTempo(middleInterval(seen.map(({ time }) => time)));
  const usual = commonest((known.bars ?? []).map(([, beats]) => beats));
  const barsAreRight = commonest(seenBars(seen).map(({ beats }) => beats)) === usual;
  if (tempoIsRight && barsAreRight) return undefined;
  for (const { kind, time, other } of doubts) {
    if (kind !== 'level') return undefined;
    const [lock] = other;
    if (lock?.kind === 'tempo' && !tempoIsRight && isTempo(lock.period)) return { kind: 'reading', time };
    if (lock?.kind === 'meter' && tempoIsRight && beatsOf(lock.meter) === usual) return { kind: 'reading', time };
  }
  return undefined;
}

function commonest(values: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}

function levelChange(known: KnownSong, seen: readonly SeenBeat[]): 'half' | 'double' | undefined {
  const ratio = middleInterval(seen.map(({ time }) => time)) / middleInterval(known.beats.map(([time]) => time));
  if (ratio > 1.7 && ratio < 2.3) return 'double';
  return ratio > 0.43 && ratio < 0.59 ? 'half' : undefined;
}

/** The one lock that a person would set for the wrong bar at `place`. */
export function correctionAt(known: KnownSong, seen: readonly SeenBeat[], place: number): Correction {
  const bar = judgedBars(known, seen)[place] as MeasuredBar;
  const truth = known.beats.map(([time]) => time);
  const first = nearest(truth, bar.start);
  const own = truth.slice(first, first + bar.beats + 1);
  const period = middleInterval(truth);
  const times = seen.map(({ time }) => time);
  const level = levelChange(known, seen);
  if (level) return { kind: level, time: bar.start };
  for (const beat of own) {
    const near = times[nearest(times, beat)] ?? -Infinity;
    const off = Math.abs(near - beat);
    if (off <= NEAR) continue;
    return off < MOVED * period ? { kind: 'move', time: near, value: beat } : { kind: 'beat', time: beat };
  }
  const end = own[own.length - 1] as number;
  const extra = times.find(
    (time) => time > bar.start && time < end && own.every((beat) => Math.abs(beat - time) > NEAR),
  );
  if (extra !== undefined) return { kind: 'no-beat', time: extra };
  const at = seen[nearest(times, bar.start)] as SeenBeat;
  return at.starts ? { kind: 'bar-length', time: at.time, value: bar.beats } : { kind: 'downbeat', time: at.time };
}

/** The correction where it is made and nowhere else: what an editor without a solver does. Half and double take the song. */
export function editNaively(seen: readonly SeenBeat[], { kind, time, value }: Correction): readonly SeenBeat[] {
  const at = nearest(
    seen.map((beat) => beat.time),
    time,
  );
  switch (kind) {
    case 'reading':
      throw new TypeError('a doubt has no other reading where nothing is solved');
    case 'half': {
      let place = 0;
      return seen.filter(({ starts }) => (place = starts ? 0 : place + 1) % 2 === 0);
    }
    case 'double':
      return seen.flatMap((beat, i) => {
        const next = seen[i + 1];
        return next ? [beat, { time: (beat.time + next.time) / 2, starts: false }] : [beat];
      });
    case 'downbeat':
      return seen.map((beat, i) => (i === at ? { ...beat, starts: true } : beat));
    case 'bar-length': {
      const end = at + (value ?? 0);
      return seen.map((beat, i) => (i > at && i <= end ? { ...beat, starts: i === end } : beat));
    }
    case 'beat':
      return [...seen, { time, starts: false }].sort((a, b) => a.time - b.time);
    case 'no-beat':
      // A bar line on the beat that goes stands on the next one.
      return seen.flatMap((beat, i) => {
        if (i === at) return [];
        return i === at + 1 && seen[at]?.starts ? [{ ...beat, starts: true }] : [beat];
      });
    case 'move':
      return seen
        .map((beat, i) => (i === at ? { ...beat, time: value ?? time } : beat))
        .sort((a, b) => a.time - b.time);
  }
}

function nearest(times: readonly number[], time: number): number {
  let best = 0;
  times.forEach((other, i) => {
    if (Math.abs(other - time) < Math.abs((times[best] as number) - time)) best = i;
  });
  return best;
}

function middleInterval(times: readonly number[]): number {
  const gaps = times.slice(1).map((time, i) => time - (times[i] as number));
  return gaps.sort((a, b) => a - b)[gaps.length >> 1] ?? NaN;
}
