import type { BarLattice } from './lattice.js';

/** A bar must start on this beat; none may. */
export const MUST_START = 1;
export const MUST_NOT_START = 2;

/** What locks demand of the bars of one stretch, by beat. */
export interface BarConstraints {
  /** MUST_START, MUST_NOT_START or 0. */
  readonly starts: Uint8Array;
  /** Beats of the bar (or pickup) that starts here; 0 where free. */
  readonly lengths: Uint8Array;
}

export function noBarConstraints(count: number): BarConstraints {
  return { starts: new Uint8Array(count), lengths: new Uint8Array(count) };
}

/** Cost of what only locks can bring about: a bar longer than the lattice offers, a long pickup. */
const FORCED = 30;

/** The same lattice with everything forbidden that breaks a constraint; bars get as long as required bar lines make them. */
export function constrain(lattice: BarLattice, constraints: BarConstraints): BarLattice {
  const { count } = lattice;
  const { starts, lengths } = constraints;
  const longest = Math.min(255, Math.max(lattice.longest, longestForced(constraints, count)));
  const stride = longest + 1;
  const arcs = new Float64Array(count * stride).fill(-Infinity);
  for (let i = 0; i < count; i++) {
    if (starts[i] === MUST_NOT_START) continue;
    const fixed = lengths[i] as number;
    for (let length = 1; length <= Math.min(longest, count - i); length++) {
      const end = i + length;
      const open = end === count || starts[end] !== MUST_NOT_START;
      if (open && (fixed === 0 || fixed === length)) {
        const own =
          length <= lattice.longest ? (lattice.arcs[i * (lattice.longest + 1) + length] as number) : -Infinity;
        arcs[i * stride + length] = own > -Infinity ? own : -FORCED - length;
      }
      if (end < count && isFixed(constraints, end)) break;
    }
  }
  return {
    count,
    longest,
    arcs,
    entry: constrainedEntry(lattice, constraints),
    exit: constrainedExit(lattice, constraints),
  };
}

function isFixed({ starts, lengths }: BarConstraints, i: number): boolean {
  return starts[i] === MUST_START || lengths[i] !== 0;
}

/** The pickup may hold no required bar line and no bar of fixed length but itself. */
function constrainedEntry(lattice: BarLattice, constraints: BarConstraints): Float64Array {
  const { starts, lengths } = constraints;
  const entry = new Float64Array(lattice.count).fill(-Infinity);
  const own = (lengths[0] ?? 0) as number;
  for (let i = 0; i < lattice.count; i++) {
    const open = starts[i] !== MUST_NOT_START && (i === 0 || own === 0 || own === i);
    if (open) entry[i] = Math.max(lattice.entry[i] as number, -FORCED - 5 * i);
    if (starts[i] === MUST_START || (i > 0 && lengths[i] !== 0)) break;
  }
  return entry;
}

function constrainedExit(lattice: BarLattice, constraints: BarConstraints): Float64Array {
  const exit = lattice.exit.slice();
  // Nothing may be cut off behind a bar line or a fixed bar that has to be there.
  let last = -1;
  for (let i = 0; i < lattice.count; i++) if (isFixed(constraints, i)) last = i;
  for (let i = 0; i <= last; i++) exit[i] = -Infinity;
  return exit;
}

/** The longest bar that locks can force: a run without bar lines, or a fixed length. */
function longestForced({ starts, lengths }: BarConstraints, count: number): number {
  let gap = 0;
  let run = 0;
  let fixed = 0;
  for (let i = 0; i < count; i++) {
    run = starts[i] === MUST_NOT_START ? run + 1 : 0;
    gap = Math.max(gap, run);
    fixed = Math.max(fixed, lengths[i] as number);
  }
  return Math.max(fixed, gap > 0 ? gap + 1 : 0);
}
