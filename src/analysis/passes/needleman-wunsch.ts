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
  best[MATCH][0] = 0;
  const relax = (state: 0 | 1 | 2, at: number, before: number, step: (previous: 0 | 1 | 2) => number): void => {
    for (const previous of STATES) {
      const value = (best[previous][before] as number) + step(previous);
      if (value < (best[state][at] as number) - 1e-12) {
        best[state][at] = value;
        from[state][at] = previous;
      }
    }
  };
  for (let i = 0; i <= rows; i++) {
    for (let j = 0; j <= columns; j++) {
      const at = i * wide + j;
      if (i > 0 && j > 0) relax(MATCH, at, at - wide - 1, () => costs[(i - 1) * columns + j - 1] as number);
      // A run that touches the beginning or the end of the other list hangs over its edge.
      const openA = j === 0 || j === columns ? gaps.openEdge : gaps.open;
      const openB = i === 0 || i === rows ? gaps.openEdge : gaps.open;
      if (i > 0) relax(ONLY_A, at, at - wide, (previous) => (previous === ONLY_A ? gaps.extend : openA));
      if (j > 0) relax(ONLY_B, at, at - 1, (previous) => (previous === ONLY_B ? gaps.extend : openB));
    }
  }
  return trace(best, from, rows, columns);
}

/** Of equally cheap ways the first tried stays; they are followed from the end, so gaps tried first come late. */
const STATES = [ONLY_A, ONLY_B, MATCH] as const;

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
