/** Offsets that grow steadily: `at0 + slope * x`, in frames. */
export interface Line {
  readonly at0: number;
  readonly slope: number;
}

/** Frames that a block may lie off the line. */
const WIDE = 3;
/** Blocks that have to lie on it. */
const LEAST = 4;

/**
 * The line on which most points lie, with a slope of at most `steepest` either way; `length` is the largest x. Undefined when
 * there is none. All slopes are tried, so close that the far end moves by no more than WIDE frames (the Hough transform:
 * Duda and Hart, Use of the Hough Transformation to Detect Lines and Curves in Pictures, 1972).
 */
export function bestLine(
  points: readonly { readonly x: number; readonly offset: number }[],
  steepest: number,
  length: number,
): Line | undefined {
  const step = WIDE / Math.max(1, length);
  const steps = Math.ceil(steepest / step);
  let best: Line | undefined;
  let most = LEAST - 1;
  const counts = new Map<number, Set<number>>();
  for (const k of outwards(steps)) {
    counts.clear();
    for (const { x, offset } of points) {
      const bin = Math.round((offset - k * step * x) / WIDE);
      const blocks = counts.get(bin);
      if (blocks) blocks.add(x);
      else counts.set(bin, new Set([x]));
    }
    for (const [bin, blocks] of counts) {
      // A line between two bins has its blocks in both.
      const both = blocks.size + (counts.get(bin + 1)?.size ?? 0);
      if (both > most) [most, best] = [both, { at0: (bin + 0.5) * WIDE, slope: k * step }];
    }
  }
  return best;
}

/** 0, 1, -1, 2, -2 and so on: of equal lines the flattest is taken. */
function outwards(steps: number): readonly number[] {
  return Array.from({ length: 2 * steps + 1 }, (_, i) => (i % 2 === 1 ? (i + 1) / 2 : -i / 2));
}
