import type { BarLikeness } from './bar-likeness.js';
import { passageLikeness } from './group.js';

export const SPLIT_MODEL = {
  /** A section is two passes of one that also stands alone when both halves are this much like it. */
  alone: 0.45,
  /** Or, where it has so many bars, when its halves are this much like each other. */
  long: 20,
  halves: 0.55,
  /** Fewest bars of a half. */
  fewest: 4,
};

/**
 * First bars with long sections divided that are two passes of one: where their half also stands alone elsewhere, or
 * where they are too long for one. `barred` bars begin none.
 */
export function splitDoubles(
  likeness: BarLikeness,
  starts: readonly number[],
  barred: ReadonlySet<number>,
): readonly number[] {
  const ends = starts.map((_, i) => starts[i + 1] ?? likeness.size);
  const { alone, long, halves, fewest } = SPLIT_MODEL;
  const more = starts.flatMap((start, i) => {
    const end = ends[i] as number;
    const bars = end - start;
    const middle = start + bars / 2;
    if (bars % 2 !== 0 || bars / 2 < fewest || barred.has(middle)) return [];
    const alike = passageLikeness(likeness, start, middle, middle, end);
    if (bars >= long && alike >= halves) return [middle];
    if (alike < alone) return [];
    const single = starts.some((other, j) => {
      const otherEnd = ends[j] as number;
      if (j === i || Math.abs(otherEnd - other - bars / 2) > 1) return false;
      return (
        Math.min(
          passageLikeness(likeness, start, middle, other, otherEnd),
          passageLikeness(likeness, middle, end, other, otherEnd),
        ) >= alone
      );
    });
    return single ? [middle] : [];
  });
  return [...starts, ...more].sort((a, b) => a - b);
}
