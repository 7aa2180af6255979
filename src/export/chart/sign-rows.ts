/** Something over a line of bars, from x to x + width. */
export interface Above {
  readonly x: number;
  readonly width: number;
}

/**
 * A row for each, from 0 (nearest to the bars) upwards, so that none touches another in its row: each takes the lowest that
 * is free, in the order given. `gap` is kept between neighbours.
 */
export function rowsOf(all: readonly Above[], gap: number): readonly number[] {
  const rows: Above[][] = [];
  return all.map((each) => {
    const free = rows.findIndex((row) => row.every((other) => apart(each, other, gap)));
    const row = free < 0 ? rows.length : free;
    (rows[row] ??= []).push(each);
    return row;
  });
}

function apart(a: Above, b: Above, gap: number): boolean {
  return a.x + a.width + gap <= b.x + 1e-6 || b.x + b.width + gap <= a.x + 1e-6;
}
