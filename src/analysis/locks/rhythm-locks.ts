import { NO_BEAT_RADIUS, type Lock } from '../../model/locks.js';
import type { Meter } from '../../music/meter.js';

/** The locks sorted by what they demand. Times in seconds. */
export interface RhythmLocks {
  readonly start: number;
  readonly end: number;
  /** Beats that must be, ascending, distinct. */
  readonly beats: readonly number[];
  /** Stretches in which no other beat may be. */
  readonly noBeats: readonly { readonly from: number; readonly to: number }[];
  /** Bar lines that must be, ascending. */
  readonly downbeats: readonly number[];
  /** Stretches in which no bar may start, except at required bar lines. */
  readonly noDownbeats: readonly { readonly from: number; readonly to: number }[];
  /** Stretches whose bar lines the user spelt out one by one. */
  readonly spelt: readonly { readonly from: number; readonly to: number }[];
  readonly lengths: readonly { readonly time: number; readonly meter: Meter }[];
  readonly meters: readonly { readonly from: number; readonly to: number; readonly meter: Meter }[];
  readonly tempos: readonly { readonly from: number; readonly to: number; readonly period: number }[];
  /** Free stretches, ascending, not touching. */
  readonly free: readonly { readonly from: number; readonly to: number }[];
}

/** Times closer than this are the same. */
const SAME = 1e-6;

/** Two beats closer than this, in seconds, are heard as one (a flam); no map holds both. */
export const LEAST_GAP = 0.06;

export function readLocks(locks: readonly Lock[], duration: number): RhythmLocks {
  let start = 0;
  let end = duration;
  const beats: number[] = [];
  const noBeats: { from: number; to: number }[] = [];
  const downbeats: number[] = [];
  const noDownbeats: { from: number; to: number }[] = [];
  const spelt: { from: number; to: number }[] = [];
  const lengths: { time: number; meter: Meter }[] = [];
  const meters: { from: number; to: number; meter: Meter }[] = [];
  const tempos: { from: number; to: number; period: number }[] = [];
  const free: { from: number; to: number }[] = [];
  // The open interval (time - radius, time + radius) is closed to beats: a hair inside keeps its ends allowed.
  const around = (time: number): { from: number; to: number } => ({
    from: time - NO_BEAT_RADIUS + SAME,
    to: time + NO_BEAT_RADIUS - SAME,
  });
  for (const lock of locks) {
    switch (lock.kind) {
      case 'beat':
        beats.push(lock.time);
        break;
      case 'no-beat':
        noBeats.push(around(lock.time));
        break;
      case 'downbeat':
        beats.push(lock.time);
        downbeats.push(lock.time);
        break;
      case 'not-downbeat':
        noDownbeats.push(around(lock.time));
        break;
      case 'bar-length':
        beats.push(lock.time);
        lengths.push({ time: lock.time, meter: lock.meter });
        break;
      case 'meter':
        meters.push(lock);
        break;
      case 'tempo':
        tempos.push(lock);
        break;
      case 'tap':
        beats.push(...lock.beats);
        if (lock.beats.length > 0) noBeats.push(hull(lock.beats));
        if (lock.downbeats.length > 0) {
          downbeats.push(...lock.downbeats);
          noDownbeats.push(hull(lock.beats));
          spelt.push(hull(lock.beats));
        }
        break;
      case 'bar-lines':
        beats.push(...lock.starts);
        downbeats.push(...lock.starts);
        if (lock.starts.length > 0) {
          noDownbeats.push(hull(lock.starts));
          spelt.push(hull(lock.starts));
        }
        break;
      case 'free':
        free.push(lock);
        break;
      case 'edge':
        if (lock.edge === 'start') start = lock.time;
        else end = lock.time;
        break;
    }
  }
  return {
    start,
    end,
    beats: distinct(beats),
    noBeats,
    downbeats: distinct(downbeats),
    noDownbeats,
    spelt,
    lengths: [...lengths].sort((a, b) => a.time - b.time),
    meters,
    tempos,
    free: merged(free, start, end),
  };
}

function hull(times: readonly number[]): { from: number; to: number } {
  return { from: (times[0] as number) - SAME, to: (times[times.length - 1] as number) + SAME };
}

function distinct(times: readonly number[]): number[] {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted.filter((time, i) => i === 0 || time - (sorted[i - 1] as number) > SAME);
}

function merged(
  stretches: readonly { from: number; to: number }[],
  start: number,
  end: number,
): { from: number; to: number }[] {
  const out: { from: number; to: number }[] = [];
  const inside = stretches
    .map(({ from, to }) => ({ from: Math.max(start, from), to: Math.min(end, to) }))
    .filter(({ from, to }) => to - from > SAME)
    .sort((a, b) => a.from - b.from);
  for (const stretch of inside) {
    const last = out[out.length - 1];
    if (last && stretch.from <= last.to + SAME) last.to = Math.max(last.to, stretch.to);
    else out.push({ ...stretch });
  }
  return out;
}

/** True when two of the beats (ascending) lie too close together to be two. */
export function areCrowded(beats: readonly number[]): boolean {
  return beats.some((beat, i) => i > 0 && beat - (beats[i - 1] as number) < LEAST_GAP - SAME);
}

/** True when `time` lies in one of the stretches. */
export function covered(stretches: readonly { readonly from: number; readonly to: number }[], time: number): boolean {
  return stretches.some(({ from, to }) => time >= from && time <= to);
}

/** True when `times` (ascending) holds `time`. */
export function includesTime(times: readonly number[], time: number): boolean {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] as number) < time - SAME) low = middle + 1;
    else high = middle;
  }
  return low < times.length && Math.abs((times[low] as number) - time) <= SAME;
}
