import type { BeatConstraints } from './beat-constraints.js';
import type { Pulse } from './pulse.js';

/** Weight of the squared log ratio between a beat's length and the tempo curve's (Ellis's alpha, here for a pulse of deviation 1). */
export const TIGHTNESS = 160;
/** Shortest and longest beat tried, as shares of the tempo curve's: usually, and next to what locks ask for. */
const USUAL = { least: 0.6, most: 1.65 };
const BY_LOCKS = { least: 0.3, most: 2.1 };
/** Share of the tightness that a short beat costs beside a required one: an added beat drives no other away. */
const BESIDE_ADDED = 0.05;
/** What a beat costs, in deviations, near a place that a lock keeps free of beats: the neighbours stay where they are. */
const NEAR_FORBIDDEN = 120;
/** How near that is, as a share of the tempo curve's beat. */
const CLEARANCE = 0.4;

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
  const cost = forbiddenCost(pulse, period, constraints, required, start, end);
  let nextRequired = 0;
  /** No beat may follow one before this frame: the last required one has to be used. */
  let barrier = 0;
  /** Up to this frame beats may be of unusual length. */
  let looseUntil = -1;
  /** The last frame before the forbidden run that ended last. */
  let beforeGap = 0;
  let gapEnd = -1;
  const logs = logTable(count);
  for (let t = 0; t < count; t++) {
    const isRequired = required[nextRequired] === start + t;
    const extra = cost ? (cost[t] as number) : 0;
    const target = period[start + t] as number;
    if (extra > 0) looseUntil = t + BY_LOCKS.most * target;
    if (extra === Infinity && !isRequired) {
      score[t] = -Infinity;
      const isFirst = t > 0 && (cost as Float64Array)[t - 1] !== Infinity;
      // Gaps a beat or less apart are one: nothing need be between them.
      if (isFirst && (gapEnd < 0 || t - gapEnd > 1.2 * target)) beforeGap = t - 1;
      gapEnd = t;
      continue;
    }
    const range = isRequired || t <= looseUntil ? BY_LOCKS : USUAL;
    const logTarget = Math.log(target);
    const nearest = t - Math.max(2, Math.round(range.least * target));
    let furthest = t - Math.round(range.most * target);
    if (t <= looseUntil && beforeGap > 0) furthest = Math.min(furthest, beforeGap - Math.round(target));
    furthest = Math.max(barrier, furthest);
    // A path may begin anywhere before the first required beat; later it must come from somewhere.
    let top = nextRequired === 0 ? 0 : -Infinity;
    let arg = -1;
    const middle = isRequired ? t - Math.round(target) : nearest;
    for (let s = furthest; s <= nearest; s++) {
      const z = (logs[t - s] as number) - logTarget;
      const tightness = s > middle ? BESIDE_ADDED * TIGHTNESS : TIGHTNESS;
      const value = (score[s] as number) - tightness * z * z;
      if (value > top) {
        top = value;
        arg = s;
      }
    }
    if (t <= looseUntil && gapEnd >= 0) {
      // Over a gap, whole beats may be left out.
      for (let s = Math.max(furthest, barrier); s <= Math.min(beforeGap, nearest); s++) {
        const left = Math.max(1, Math.round((t - s) / target));
        const z = (logs[t - s] as number) - logTarget - Math.log(left);
        const value = (score[s] as number) - TIGHTNESS * z * z;
        if (value > top) {
          top = value;
          arg = s;
        }
      }
    }
    if (nextRequired > 0 && barrier > t - target && barrier <= nearest) {
      const z = (logs[t - barrier] as number) - logTarget;
      const value = (score[barrier] as number) - BESIDE_ADDED * TIGHTNESS * z * z;
      if (value > top) {
        top = value;
        arg = barrier;
      }
    }
    if (arg < 0 && nextRequired > 0 && (isRequired || t - barrier > range.most * target)) {
      const z = Math.log(Math.max(1, t - barrier)) - logTarget;
      top = (score[barrier] as number) - TIGHTNESS * z * z;
      arg = barrier;
    }
    score[t] = top + (pulse.worth[start + t] as number) - (isRequired ? 0 : extra);
    before[t] = arg;
    if (isRequired) {
      while (required[nextRequired] === start + t) nextRequired++;
      barrier = t;
      looseUntil = t + BY_LOCKS.most * target;
    }
  }
  return readBack(
    { score, before, barrier, start, end, lastPeriod: period[end] as number },
    required,
    constraints.required,
    pulse.rate,
  );
}

/** Infinity where no beat may be, a price beside such places, 0 elsewhere; nothing when no beat is forbidden. */
function forbiddenCost(
  pulse: Pulse,
  period: Float32Array,
  constraints: BeatConstraints,
  required: readonly number[],
  start: number,
  end: number,
): Float64Array | undefined {
  if (constraints.forbidden.length === 0) return undefined;
  const cost = new Float64Array(end - start + 1);
  const raise = (from: number, to: number, amount: number): void => {
    for (let t = Math.max(start, from); t <= Math.min(end, to); t++)
      cost[t - start] = Math.max(cost[t - start] as number, amount);
  };
  for (const { from, to } of constraints.forbidden) {
    const [first, last] = [Math.ceil(from * pulse.rate), Math.floor(to * pulse.rate)];
    const middle = Math.round((first + last) / 2);
    const clear = Math.round(CLEARANCE * (period[Math.max(0, Math.min(period.length - 1, middle))] as number));
    raise(middle - clear, middle + clear, NEAR_FORBIDDEN);
    raise(first, last, Infinity);
  }
  for (const frame of required) if (frame >= start && frame <= end) cost[frame - start] = 0;
  return cost;
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

interface GridScores {
  readonly score: Float64Array;
  readonly before: Int32Array;
  readonly barrier: number;
  readonly start: number;
  readonly end: number;
  readonly lastPeriod: number;
}

function readBack(grid: GridScores, required: readonly number[], times: readonly number[], rate: number): FoundBeat[] {
  const { score, before, barrier, start, end, lastPeriod } = grid;
  let t = barrier;
  let top = required.length > 0 ? (score[barrier] as number) : -Infinity;
  for (let s = Math.max(barrier, end - start - Math.round(1.2 * lastPeriod)); s <= end - start; s++) {
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
