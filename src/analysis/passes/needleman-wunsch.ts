/** Costs of leaving items without a partner: of the first and of each further one in a row; less at either end. */
export interface GapCosts {
  readonly open: number;
  readonly extend: number;
  /** In place of `open` for a run at the very beginning or end. */
  readonly openEdge: number;
}

/** A place of an alignment: items of both lists, or of one of them. */
export type AlignedPair = readonly [a: number | null, b: number | null];

const MATCH = 0;
const ONLY_A = 1;
const ONLY_B = 2;

/**
 * Global alignment of lists of `rows` and `columns` items with gaps (Needleman & Wunsch 1970; runs of gaps as Gotoh
 * 1982). `costs` [rows x columns] says what putting two items together costs. Every item comes up exactly once, in
 * order. Of equally cheap alignments the one whose gaps come latest. Throws RangeError when sizes do not fit.
 */
export function alignGlobally(
  costs: ArrayLike<number>,
  rows: number,
  columns: number,
  gaps: GapCosts,
): { readonly pairs: readonly AlignedPair[]; readonly cost: number } {
  if (costs.length !== rows * columns) {
    throw new RangeError(
      `alignGlobally: found ${costs.length} costs; ${rows} by ${columns} items need ${rows * columns}`,
    );
  }
  const wide = columns + 1;
  const size = (rows + 1) * wide;
  const best = [0, 1, 2].map(() => new Float64Array(size).fill(Infinity)) as [Float64Array, Float64Array, Float64Array];
  const from = [0, 1, 2].map(() => new Uint8Array(size)) as [Uint8Array, Uint8Array, Uint8Array];
  const [ofMatch, ofA, ofB] = best;
  ofMatch[0] = 0;
  // Of equally cheap ways the first tried stays; they are followed from the end, so gaps tried first come late.
  // The best state to come from, when going on costs `extend` after state `same` and `open` after the others.
  const relax = (state: 0 | 1 | 2, at: number, before: number, same: 0 | 1 | 2, extend: number, open: number): void => {
    const a = (ofA[before] as number) + (same === ONLY_A ? extend : open);
    const b = (ofB[before] as number) + (same === ONLY_B ? extend : open);
    const match = (ofMatch[before] as number) + open;
    let least = best[state][at] as number;
    let previous = from[state][at] as number;
    if (a < least - 1e-12) {
      least = a;
      previous = ONLY_A;
    }
    if (b < least - 1e-12) {
      least = b;
      previous = ONLY_B;
    }
    if (match < least - 1e-12) {
      least = match;
      previous = MATCH;
    }
    best[state][at] = least;
    from[state][at] = previous;
  };
  for (let i = 0; i <= rows; i++) {
    for (let j = 0; j <= columns; j++) {
      const at = i * wide + j;
      if (i > 0 && j > 0) {
        const cost = costs[(i - 1) * columns + j - 1] as number;
        relax(MATCH, at, at - wide - 1, MATCH, cost, cost);
      }
      // A run that touches the beginning or the end of the other list hangs over its edge.
      if (i > 0)
        relax(ONLY_A, at, at - wide, ONLY_A, gaps.extend, j === 0 || j === columns ? gaps.openEdge : gaps.open);
      if (j > 0) relax(ONLY_B, at, at - 1, ONLY_B, gaps.extend, i === 0 || i === rows ? gaps.openEdge : gaps.open);
    }
  }
  return trace(best, from, rows, columns);
}

function trace(
  best: readonly [Float64Array, Float64Array, Float64Array],
  from: readonly [Uint8Array, Uint8Array, Uint8Array],
  rows: number,
  columns: number,
): { readonly pairs: readonly AlignedPair[]; readonly cost: number } {
  const wide = columns + 1;
  const last = rows * wide + columns;
  let state: 0 | 1 | 2 = MATCH;
  for (const other of [ONLY_A, ONLY_B] as const) {
    if ((best[other][last] as number) <= (best[state][last] as number) + 1e-12) state = other;
  }
  const cost = best[state][last] as number;
  const pairs: AlignedPair[] = [];
  let i = rows;
  let j = columns;
  while (i > 0 || j > 0) {
    const previous = from[state][i * wide + j] as 0 | 1 | 2;
    if (state !== ONLY_B) i -= 1;
    if (state !== ONLY_A) j -= 1;
    pairs.push([state === ONLY_B ? null : i, state === ONLY_A ? null : j]);
    state = previous;
  }
  return { pairs: pairs.reverse(), cost };
}
