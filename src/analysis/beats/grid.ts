import type { BeatConstraints } from './beat-constraints.js';
import type { Pulse } from './pulse.js';

/** Weight of the squared log ratio between a beat's length and the tempo curve's (Ellis calls it alpha, here for a pulse of deviation 1). */
const TIGHTNESS = 160;
/** Shortest and longest beat tried, as shares of the tempo curve's. */
const LEAST = 0.42;
const MOST = 2.1;

/** A beat as found: `time` in seconds; `exact` when a lock put it there. */
export interface FoundBeat {
  readonly time: number;
  readonly exact: boolean;
}

/**
 * Beats along a tempo curve: dynamic programming over frames (Ellis, "Beat tracking by dynamic programming", JNMR 2007),
 * here with a target length that follows `period` (frames, one value a frame) and with required and forbidden beats.
 *
 * Every required beat is in the result at exactly its time. Returns beats from about `from` to `to` (frames).
 */
export function beatGrid(
  pulse: Pulse,
  period: Float32Array,
  from: number,
  to: number,
  constraints: BeatConstraints,
): FoundBeat[] {
  const required = constraints.required.map((time) => Math.round(time * pulse.rate));
  const start = Math.max(0, Math.min(from, required[0] ?? from));
  const end = Math.min(pulse.frames - 1, Math.max(to, required[required.length - 1] ?? to));
  const count = end - start + 1;
  const score = new Float64Array(count);
  const before = new Int32Array(count).fill(-1);
  const banned = bannedFrames(pulse, constraints, required, start, end);
  let nextRequired = 0;
  /** No beat may follow one before this frame: the last required one has to be used. */
  let barrier = 0;
  const logs = logTable(count);
  for (let t = 0; t < count; t++) {
    const isRequired = required[nextRequired] === start + t;
    if (banned[t] && !isRequired) {
      score[t] = -Infinity;
      continue;
    }
    const target = period[start + t] as number;
    const logTarget = Math.log(target);
    const nearest = t - Math.max(2, Math.round(LEAST * target));
    const furthest = Math.max(barrier, t - Math.round(MOST * target));
    // A path may begin anywhere before the first required beat; later it must come from somewhere.
    let top = nextRequired === 0 ? 0 : -Infinity;
    let arg = -1;
    for (let s = furthest; s <= nearest; s++) {
      const z = (logs[t - s] as number) - logTarget;
      const value = (score[s] as number) - TIGHTNESS * z * z;
      if (value > top) {
        top = value;
        arg = s;
      }
    }
    if (arg < 0 && nextRequired > 0 && (isRequired || t - barrier > MOST * target)) {
      const z = Math.log(Math.max(1, t - barrier)) - logTarget;
      top = (score[barrier] as number) - TIGHTNESS * z * z;
      arg = barrier;
    }
    score[t] = top + (pulse.worth[start + t] as number);
    before[t] = arg;
    if (isRequired) {
      while (required[nextRequired] === start + t) nextRequired++;
      barrier = t;
    }
  }
  return readBack(score, before, barrier, period, start, end, required, constraints.required, pulse.rate);
}

function bannedFrames(
  pulse: Pulse,
  constraints: BeatConstraints,
  required: readonly number[],
  start: number,
  end: number,
): Uint8Array {
  const banned = new Uint8Array(end - start + 1);
  for (const { from, to } of constraints.forbidden) {
    const first = Math.max(start, Math.ceil(from * pulse.rate));
    const last = Math.min(end, Math.floor(to * pulse.rate));
    for (let t = first; t <= last; t++) banned[t - start] = 1;
  }
  for (const frame of required) if (frame >= start && frame <= end) banned[frame - start] = 0;
  return banned;
}

let table = new Float64Array(0);
/** Natural logarithms of 0 to `count`; grows, never changes. */
function logTable(count: number): Float64Array {
  if (table.length <= count) {
    table = new Float64Array(Math.max(4096, count + 1));
    for (let i = 0; i < table.length; i++) table[i] = Math.log(Math.max(i, 0.5));
  }
  return table;
}

function readBack(
  score: Float64Array,
  before: Int32Array,
  barrier: number,
  period: Float32Array,
  start: number,
  end: number,
  required: readonly number[],
  times: readonly number[],
  rate: number,
): FoundBeat[] {
  const tail = Math.max(barrier, end - start - Math.round(1.2 * (period[end] as number)));
  let t = barrier;
  let top = required.length > 0 ? (score[barrier] as number) : -Infinity;
  for (let s = tail; s <= end - start; s++) {
    if ((score[s] as number) > top) {
      top = score[s] as number;
      t = s;
    }
  }
  const exact = new Map(required.map((frame, i) => [frame, times[i] as number]));
  const beats: FoundBeat[] = [];
  while (t >= 0) {
    const time = exact.get(start + t);
    beats.push({ time: time ?? (start + t) / rate, exact: time !== undefined });
    t = before[t] as number;
  }
  return beats.reverse();
}
