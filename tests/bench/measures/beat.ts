/**
 * Measures of beat tracking as mir_eval defines them (Raffel et al., "mir_eval: a transparent implementation of
 * common MIR metrics", ISMIR 2014; continuity: Hainsworth 2004, Klapuri et al. 2006). Times in seconds, ascending.
 */

/** Beats before this time are not counted. */
export const MIN_BEAT_TIME = 5;
export const MATCH_WINDOW = 0.07;

export function trimBeats(beats: readonly number[], from = MIN_BEAT_TIME): number[] {
  return beats.filter((time) => time >= from);
}

/** Size of the largest one-to-one matching of two ascending lists within `window` (greedy is optimal on a line). */
export function matches(a: readonly number[], b: readonly number[], window: number): number {
  return lateness(a, b, window).length;
}

/** 2 x hits / (claimed + true); 0 when either is empty. */
export function fMeasure(reference: readonly number[], estimate: readonly number[], window = MATCH_WINDOW): number {
  if (reference.length === 0 || estimate.length === 0) return 0;
  return (2 * matches(reference, estimate, window)) / (reference.length + estimate.length);
}

/** How late, in seconds, each beat of `estimate` lies that is matched one to one with one of `reference`; negative is early. */
export function lateness(reference: readonly number[], estimate: readonly number[], window = MATCH_WINDOW): number[] {
  const late: number[] = [];
  for (let i = 0, j = 0; i < reference.length && j < estimate.length;) {
    const distance = (estimate[j] as number) - (reference[i] as number);
    if (Math.abs(distance) <= window) {
      late.push(distance);
      i++;
      j++;
    } else if (distance < 0) j++;
    else i++;
  }
  return late;
}

export interface Continuity {
  /** Correct metrical level, continuity required or not. */
  readonly cmlc: number;
  readonly cmlt: number;
  /** Any of: the level, its off-beat, twice, half on odd or even beats. */
  readonly amlc: number;
  readonly amlt: number;
}

export function continuity(reference: readonly number[], estimate: readonly number[], tolerance = 0.175): Continuity {
  if (reference.length < 2 || estimate.length < 2) return { cmlc: 0, cmlt: 0, amlc: 0, amlt: 0 };
  const scores = variations(reference).map((variation) => runs(variation, estimate, tolerance));
  const first = scores[0] as Score;
  return {
    cmlc: first.longest,
    cmlt: first.total,
    amlc: Math.max(...scores.map((score) => score.longest)),
    amlt: Math.max(...scores.map((score) => score.total)),
  };
}

function variations(beats: readonly number[]): number[][] {
  const double = beats.flatMap((time, i) => {
    const next = beats[i + 1];
    return next === undefined ? [time] : [time, (time + next) / 2];
  });
  const every = (list: readonly number[], from: number): number[] => list.filter((_, i) => i % 2 === from);
  return [[...beats], every(double, 1), double, every(beats, 0), every(beats, 1)];
}

interface Score {
  readonly longest: number;
  readonly total: number;
}

function runs(reference: readonly number[], estimate: readonly number[], tolerance: number): Score {
  const used = new Set<number>();
  let total = 0;
  let run = 0;
  let longest = 0;
  for (let m = 0; m < estimate.length; m++) {
    const nearest = nearestIndex(reference, estimate[m] as number);
    if (!used.has(nearest) && isRight(reference, estimate, m, nearest, tolerance)) {
      used.add(nearest);
      total++;
      run++;
      longest = Math.max(longest, run);
    } else run = 0;
  }
  const length = Math.max(reference.length, estimate.length);
  return { longest: longest / length, total: total / length };
}

function isRight(
  reference: readonly number[],
  estimate: readonly number[],
  m: number,
  n: number,
  tolerance: number,
): boolean {
  const forward = m === 0 || n === 0;
  const trueGap = gap(reference, n, forward);
  const claimedGap = gap(estimate, m, forward);
  const phase = Math.abs((estimate[m] as number) - (reference[n] as number)) / trueGap;
  return phase < tolerance && Math.abs(1 - claimedGap / trueGap) < tolerance;
}

/** The interval after (or before) entry i; the other one at the end of the list. */
function gap(times: readonly number[], i: number, forward: boolean): number {
  const last = forward && i + 1 < times.length ? i + 1 : i;
  return (times[last] as number) - (times[last - 1] as number);
}

/** Index of the first of the nearest entries. */
function nearestIndex(times: readonly number[], time: number): number {
  let best = 0;
  for (let i = 1; i < times.length; i++) {
    if (Math.abs((times[i] as number) - time) < Math.abs((times[best] as number) - time)) best = i;
  }
  return best;
}
