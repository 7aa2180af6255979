/** The value below which `share` (0 to 1) of the numbers lie, by the nearest rank; NaN of none. */
export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(share * sorted.length) - 1))] ?? NaN;
}

/** The middle number, or the mean of the two middle ones; NaN of none. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  if (sorted.length % 2 === 1) return sorted[half] as number;
  return ((sorted[half - 1] ?? NaN) + (sorted[half] ?? NaN)) / 2;
}

/** Columns padded to their widest cell; numbers, alone or with a unit, to the right. */
export function tableText(rows: readonly (readonly string[])[]): string {
  const widths: number[] = [];
  for (const row of rows) row.forEach((cell, i) => (widths[i] = Math.max(widths[i] ?? 0, cell.length)));
  return rows
    .map((row) =>
      row
        .map((cell, i) => (/^[-\d.]+( \S+)?$/.test(cell) ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0)))
        .join('  ')
        .trimEnd(),
    )
    .map((line) => `${line}\n`)
    .join('');
}
