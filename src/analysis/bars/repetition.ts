import type { BeatProfiles } from '../evidence/features/beat-profiles.js';

/** For each beat the beats at the same place of similar stretches: entries `offsets[i]` to `offsets[i + 1]` are those of beat i. */
export interface Repetition {
  readonly offsets: Int32Array;
  readonly others: Int32Array;
  /** How sure that is, 0 to 1. */
  readonly weights: Float32Array;
}

/** Beats before or after over which two stretches have to be alike, and those nearest to the beat that must be for themselves. */
const REACH = 12;
const EDGE = 2;
/** Repeats nearer than this many beats say nothing that the bars around do not say themselves. */
const NEAREST = 8;
/** Likeness that a repeat has at least. */
const ALIKE = 0.35;
/** How much more alike than the same stretches a few beats apart counts as sure, and what is too little to tell. */
const SURE = 0.25;
const LEAST = 0.1;
/** Alternatives are looked for so many beats to either side. */
const ASIDE = 3;
/** Most beats kept for each. */
const MOST = 8;

/**
 * Which beats lie at the same place of similar stretches: diagonals of the self-similarity matrix (Foote, "Visualizing
 * music and audio using self-similarity", 1999) over the 12 beats up to a beat or the 12 from it on, whichever are more
 * alike, where no neighbouring diagonal is about as good. A stretch ends at the beat: so the beats on either side of a
 * bar that only one pass has shortened find their own places in the other.
 */
export function findRepetition(profiles: BeatProfiles): Repetition {
  const { count } = profiles;
  const kept = keeper(count);
  const rows = new Map<number, Float32Array>();
  const rowAt = (lag: number): Float32Array | undefined => {
    if (lag >= count) return undefined;
    let row = rows.get(lag);
    if (!row) rows.set(lag, (row = diagonal(profiles, lag)));
    return row;
  };
  for (let lag = NEAREST; lag < count; lag++) {
    const own = rowAt(lag) as Float32Array;
    const beside = Array.from({ length: ASIDE }, (_, d) => [rowAt(lag - d - 1), rowAt(lag + d + 1)] as const);
    rows.delete(lag - ASIDE);
    for (let i = 0; i < own.length; i++) {
      const here = own[i] as number;
      if (here < ALIKE) continue;
      const weight = Math.min(1, (here - rivalOf(beside, i)) / SURE);
      if (weight <= LEAST) continue;
      kept.add(i, i + lag, weight);
      kept.add(i + lag, i, weight);
    }
  }
  return kept.done();
}

/** The best likeness of beat i and neighbours of its other, and of the other and neighbours of beat i. */
function rivalOf(
  beside: readonly (readonly [Float32Array | undefined, Float32Array | undefined])[],
  i: number,
): number {
  let rival = -1;
  for (let d = 1; d <= ASIDE; d++) {
    const [shorter, longer] = beside[d - 1] as readonly [Float32Array | undefined, Float32Array | undefined];
    rival = Math.max(rival, shorter?.[i] ?? -1, longer?.[i] ?? -1, shorter?.[i + d] ?? -1, longer?.[i - d] ?? -1);
  }
  return rival;
}

/** For each beat i, how alike the stretches up to or from i and i + lag are; the better of both. */
function diagonal({ values, size, count }: BeatProfiles, lag: number): Float32Array {
  const length = count - lag;
  const sums = new Float64Array(length + 1);
  for (let i = 0; i < length; i++) {
    let dot = 0;
    const a = i * size;
    const b = (i + lag) * size;
    for (let k = 0; k < size; k++) dot += (values[a + k] as number) * (values[b + k] as number);
    sums[i + 1] = (sums[i] as number) + dot;
  }
  const mean = (from: number, to: number): number =>
    from < 0 || to > length ? -1 : ((sums[to] as number) - (sums[from] as number)) / (to - from);
  const out = new Float32Array(length);
  for (let i = 0; i < length; i++) {
    const upTo = Math.min(mean(i + 1 - REACH, i + 1), mean(i + 1 - EDGE, i + 1));
    const from = Math.min(mean(i, i + REACH), mean(i, i + EDGE));
    out[i] = Math.max(upTo, from);
  }
  return out;
}

/** Keeps the MOST surest others of each beat, the first of equals. */
function keeper(count: number): { add(i: number, other: number, weight: number): void; done(): Repetition } {
  const others = new Int32Array(count * MOST);
  const weights = new Float32Array(count * MOST);
  return {
    add(i, other, weight) {
      let at = (i + 1) * MOST - 1;
      if (weight <= (weights[at] as number)) return;
      for (; at > i * MOST && weight > (weights[at - 1] as number); at--) {
        others[at] = others[at - 1] as number;
        weights[at] = weights[at - 1] as number;
      }
      others[at] = other;
      weights[at] = weight;
    },
    done() {
      const offsets = new Int32Array(count + 1);
      let n = 0;
      for (let i = 0; i < count; i++) {
        for (let at = i * MOST; at < (i + 1) * MOST && (weights[at] as number) > 0; at++, n++) {
          others[n] = others[at] as number;
          weights[n] = weights[at] as number;
        }
        offsets[i + 1] = n;
      }
      return { offsets, others: others.slice(0, n), weights: weights.slice(0, n) };
    },
  };
}
