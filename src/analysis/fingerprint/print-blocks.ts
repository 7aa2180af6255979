/** Frames compared at once: 3 s. */
export const BLOCK = 256;

/** Share of differing bits below which two blocks are the same sound (Haitsma and Kalker 2002, section 4.2). */
export const SAME = 0.35;

/** Words that are 0 (silence) tell nothing; a block with more of them than this is passed over. */
const MOST_SILENT = BLOCK / 2;

/**
 * Share of the bits, 0 to 1, in which the block of `known` from frame `from` on differs from that of `given` at
 * `from + offset`; NaN when one of them leaves its recording or is silent.
 */
export function errorRate(known: Uint32Array, given: Uint32Array, from: number, offset: number): number {
  const start = from + offset;
  if (from < 0 || start < 0 || from + BLOCK > known.length || start + BLOCK > given.length) return NaN;
  let bits = 0;
  let frames = 0;
  for (let i = 0; i < BLOCK; i++) {
    const a = known[from + i] as number;
    const b = given[start + i] as number;
    if (a === 0 && b === 0) continue;
    bits += ones(a ^ b);
    frames++;
  }
  return frames < BLOCK - MOST_SILENT ? NaN : bits / (32 * frames);
}

/**
 * Where near `offset` the block differs least, between frames, and how much it differs there; undefined when it is not the same
 * sound or the least lies at the edge of what was tried, `reach` frames either side. Near the least the share of differing
 * bits grows alike on both sides, so the place between frames is that about which it is even.
 */
export function offsetNear(
  known: Uint32Array,
  given: Uint32Array,
  from: number,
  offset: number,
  reach: number,
): { readonly offset: number; readonly error: number } | undefined {
  const middle = Math.round(offset);
  let best = NaN;
  let least = SAME;
  for (let d = middle - reach; d <= middle + reach; d++) {
    const error = errorRate(known, given, from, d);
    if (error < least) [best, least] = [d, error];
  }
  if (Number.isNaN(best)) return undefined;
  const at = (d: number): number => errorRate(known, given, from, best + d);
  const sides = EVEN.map((d) => [at(-d), at(d)] as const);
  if (sides.some(([left, right]) => Number.isNaN(left + right))) return undefined;
  // The slopes of both sides are equal; half the difference of the sides over the slope is how far the middle is off.
  let shift = 0;
  for (const [i, d] of EVEN.entries()) {
    const [left, right] = sides[i] as readonly [number, number];
    const slope = ((left + right) / 2 - least) / d;
    shift += slope > 0 ? (left - right) / (2 * slope) / EVEN.length : 0;
  }
  return { offset: best + Math.max(-0.75, Math.min(0.75, shift)), error: least };
}

/** Frames either side of the least at which the sides are compared. */
const EVEN = [2, 3, 4];

function ones(bits: number): number {
  let x = bits - ((bits >>> 1) & 0x55555555);
  x = (x & 0x33333333) + ((x >>> 2) & 0x33333333);
  return (((x + (x >>> 4)) & 0x0f0f0f0f) * 0x01010101) >>> 24;
}
