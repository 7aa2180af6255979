import type { BarSound } from './bar-sounds.js';
import { alignGlobally, type AlignedPair } from './needleman-wunsch.js';
import { barDistance } from './sound-distance.js';

export const ALIGN_MODEL = {
  /** Costs of bars without a partner, where 1 is what two unrelated bars cost together. */
  gaps: { open: 1.1, extend: 0.5, openEdge: 0.8 },
  /** What a different length costs two bars. */
  length: 0.12,
  /** Unlike by more than this does not make a pair any worse. */
  most: 1.3,
  /** A pass is in another key when that makes its mean cost a bar smaller by this, and by this share. */
  keyGain: 0.1,
  keyShare: 0.2,
  /** Transpositions that are aligned with gaps: the best of the twelve by a plain comparison. */
  keysTried: 3,
};

/** Bars of several passes put under one another. */
export interface PassAlignment {
  /** Semitones of each pass above the first, -5 to 6. */
  readonly shifts: readonly number[];
  /** For each column and each pass the bar of that pass, counted from its own first; null where it has none. */
  readonly columns: readonly (readonly (number | null)[])[];
}

/**
 * Aligns passes bar to bar: each with the one that is most like all the others (star alignment, Gusfield 1993),
 * transposed where another key fits better. `unrelated` is the distance of bars that have nothing in common.
 * Every bar of every pass stands in exactly one column, in order. `align` gives the alignment of two passes by their
 * places where it is known already.
 */
export function alignPasses(
  passes: readonly (readonly BarSound[])[],
  unrelated: number,
  align: AlignTwo = (i, j) => alignTwo(passes[i] ?? [], passes[j] ?? [], unrelated),
): PassAlignment {
  const pairs = passes.map((_a, i) => passes.map((_b, j) => (j > i ? align(i, j) : undefined)));
  const costOf = (i: number, j: number): number => (i === j ? 0 : (pairs[Math.min(i, j)]?.[Math.max(i, j)]?.cost ?? 0));
  const totals = passes.map((_, i) => passes.reduce((sum, _pass, j) => sum + costOf(i, j), 0));
  const centre = totals.reduce((best, total, i) => (total < (totals[best] as number) - 1e-9 ? i : best), 0);
  const aligned = passes.map((_, j): TwoAligned | undefined => {
    if (j === centre) return undefined;
    const pair = pairs[Math.min(centre, j)]?.[Math.max(centre, j)];
    return pair && (centre < j ? pair : turned(pair));
  });
  const above = aligned.map((pair) => pair?.shift ?? 0);
  return {
    shifts: above.map((shift) => semitones(shift - (above[0] ?? 0))),
    columns: merged(passes[centre]?.length ?? 0, centre, aligned),
  };
}

type AlignTwo = (i: number, j: number) => TwoAligned;

/** Two passes bar to bar. */
export interface TwoAligned {
  readonly pairs: readonly AlignedPair[];
  /** Semitones of the second above the first. */
  readonly shift: number;
  readonly cost: number;
}

function turned({ pairs, shift, cost }: TwoAligned): TwoAligned {
  return { pairs: pairs.map(([a, b]) => [b, a] as const), shift: semitones(-shift), cost };
}

/**
 * Two passes bar to bar, transposed where another key fits clearly better. The same whichever comes first: of equally good ways
 * one is taken by what the bars are.
 */
export function alignTwo(a: readonly BarSound[], b: readonly BarSound[], unrelated: number): TwoAligned {
  return inOrder(a, b) > 0 ? turned(alignOrdered(b, a, unrelated)) : alignOrdered(a, b, unrelated);
}

/** Negative, zero or positive, as in sorting: by number of bars, then by the first that differ. */
function inOrder(a: readonly BarSound[], b: readonly BarSound[]): number {
  if (a.length !== b.length) return a.length - b.length;
  for (const [i, bar] of a.entries()) {
    const other = b[i] as BarSound;
    if (bar.beats !== other.beats) return bar.beats - other.beats;
    const at = bar.beatwise.findIndex((value, k) => value !== other.beatwise[k]);
    if (at >= 0) return (bar.beatwise[at] as number) - (other.beatwise[at] as number);
  }
  return 0;
}

function alignOrdered(a: readonly BarSound[], b: readonly BarSound[], unrelated: number): TwoAligned {
  const bars = Math.max(1, Math.min(a.length, b.length));
  const same = alignAt(a, b, 0, unrelated);
  if (a.length === 0 || b.length === 0) return same;
  // No other key can be clearly better than what costs next to nothing.
  if (same.cost / bars <= ALIGN_MODEL.keyGain) return same;
  const plain = Array.from({ length: 12 }, (_, shift) => ({ shift, cost: slidCost(a, b, shift) }));
  plain.sort((x, y) => x.cost - y.cost);
  let best = same;
  for (const { shift } of plain.slice(0, ALIGN_MODEL.keysTried)) {
    if (shift === 0) continue;
    const other = alignAt(a, b, shift, unrelated);
    const gain = (same.cost - other.cost) / bars;
    const clear = gain > ALIGN_MODEL.keyGain && same.cost - other.cost > ALIGN_MODEL.keyShare * same.cost;
    if (clear && other.cost < best.cost) best = other;
  }
  return best;
}

/** Mean distance with the first bars together or the last ones, whichever fits better. */
function slidCost(a: readonly BarSound[], b: readonly BarSound[], shift: number): number {
  const bars = Math.min(a.length, b.length);
  const from = (startA: number, startB: number): number => {
    let sum = 0;
    for (let k = 0; k < bars; k++) {
      sum += barDistance(a[startA + k] as BarSound, b[startB + k] as BarSound, shift);
    }
    return sum / bars;
  };
  return Math.min(from(0, 0), from(a.length - bars, b.length - bars));
}

function alignAt(a: readonly BarSound[], b: readonly BarSound[], shift: number, unrelated: number): TwoAligned {
  const { gaps, length, most } = ALIGN_MODEL;
  const costs = new Float64Array(a.length * b.length);
  a.forEach((barA, i) => {
    b.forEach((barB, j) => {
      const lengthCost = barA.beats === barB.beats ? 0 : length;
      costs[i * b.length + j] = Math.min(most, barDistance(barA, barB, shift) / unrelated) + lengthCost;
    });
  });
  const { pairs, cost } = alignGlobally(costs, a.length, b.length, gaps);
  return { pairs, cost, shift: semitones(shift) };
}

/** The columns of the centre, and between them those of the bars that others have more. */
function merged(size: number, centre: number, aligned: readonly (TwoAligned | undefined)[]): (number | null)[][] {
  const count = aligned.length;
  const blank = (): (number | null)[] => new Array<number | null>(count).fill(null);
  const columns = Array.from({ length: size }, (_, bar) => {
    const column = blank();
    column[centre] = bar;
    return column;
  });
  // More bars before bar `place` of the centre; the last list is for those after its end.
  const more: (number | null)[][][] = Array.from({ length: size + 1 }, () => []);
  aligned.forEach((pair, pass) => {
    let place = 0;
    let run = 0;
    for (const [own, other] of pair?.pairs ?? []) {
      if (own === null) {
        const list = more[place] as (number | null)[][];
        const column = list[run] ?? blank();
        if (!list[run]) list.push(column);
        column[pass] = other;
        run += 1;
        continue;
      }
      (columns[own] as (number | null)[])[pass] = other;
      place = own + 1;
      run = 0;
    }
  });
  return more.flatMap((list, place) => [...list, ...(place < size ? [columns[place] as (number | null)[]] : [])]);
}

/** -5 to 6. */
export function semitones(shift: number): number {
  const up = ((shift % 12) + 12) % 12;
  return up > 6 ? up - 12 : up;
}
