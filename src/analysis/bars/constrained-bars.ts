import type { BarLattice } from './lattice.js';

/** What locks demand of the bars of one stretch, by beat. */
export interface BarConstraints {
  /** 1 where a bar must start; 2 where none may. */
  readonly starts: Uint8Array;
  /** Beats of the bar that starts here; 0 where free. */
  readonly lengths: Uint8Array;
  /** 1 where a bar must start that may as well be the pickup. */
  readonly edges: Uint8Array;
}

export function noBarConstraints(count: number): BarConstraints {
  return { starts: new Uint8Array(count), lengths: new Uint8Array(count), edges: new Uint8Array(count) };
}

/** Cost of a bar longer than any the lattice offers, which only locks can bring about. */
const OVERLONG = 30;

/** The same lattice with everything forbidden that breaks a constraint; bars get as long as required bar lines make them. */
export function constrain(lattice: BarLattice, constraints: BarConstraints): BarLattice {
  const { count } = lattice;
  const { starts, lengths, edges } = constraints;
  const longest = Math.max(lattice.longest, longestGap(constraints, count));
  const stride = longest + 1;
  const arcs = new Float64Array(count * stride).fill(-Infinity);
  const entry = Float64Array.from(lattice.entry);
  let mustBefore = 0;
  for (let i = 0; i < count; i++) {
    // Beats before the first bar line are the pickup: no required bar line, no fixed length but the pickup's own.
    const ownPickup = lengths[0] !== 0 && lengths[0] === i;
    if (starts[i] === 2 || mustBefore > 0 || (i > 0 && lengths[0] !== 0 && !ownPickup)) entry[i] = -Infinity;
    else if (ownPickup && entry[i] === -Infinity) entry[i] = -OVERLONG;
    if (starts[i] === 1 && entry[i] === -Infinity && mustBefore === 0) entry[i] = -OVERLONG - i;
    if (starts[i] === 1 || (i > 0 && lengths[i] !== 0)) mustBefore++;
    if (starts[i] === 2) continue;
    for (let length = 1; length <= Math.min(longest, count - i); length++) {
      const fixed = lengths[i] as number;
      if (fixed !== 0 && fixed !== length) continue;
      const end = i + length;
      if (end < count && starts[end] === 2) continue;
      const known =
        length <= lattice.longest ? (lattice.arcs[i * (lattice.longest + 1) + length] as number) : -Infinity;
      arcs[i * stride + length] = known > -Infinity ? known : -OVERLONG - length;
      if (end < count && (starts[end] === 1 || edges[end] === 1 || lengths[end] !== 0)) break;
    }
  }
  return { count, longest, arcs, entry };
}

/** The longest bar that closed bar lines can force. */
function longestGap({ starts, lengths }: BarConstraints, count: number): number {
  let gap = 0;
  let run = 0;
  let longestFixed = 0;
  for (let i = 0; i < count; i++) {
    run = starts[i] === 2 ? run + 1 : 0;
    gap = Math.max(gap, run);
    longestFixed = Math.max(longestFixed, lengths[i] as number);
  }
  return Math.max(longestFixed, gap > 0 ? gap + 12 : 0);
}
