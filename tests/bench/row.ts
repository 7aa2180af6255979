/** One line of the benchmarks' table. */
export interface Row {
  readonly what: string;
  readonly measured: string;
  /** As written in the table; absent where there is none. */
  readonly aim?: string;
  /** Whether the aim was met in this run. */
  readonly met?: boolean;
}

/** A measured number with its upper limit. */
export function limited(what: string, value: number, limit: number, unit: string, digits = 1): Row {
  const suffix = unit ? ` ${unit}` : '';
  return {
    what,
    measured: `${value.toFixed(digits)}${suffix}`,
    aim: `at most ${limit}${suffix}`,
    met: value <= limit,
  };
}

/** The rows as a table's cells, under headings. */
export function cellsOf(rows: readonly Row[]): string[][] {
  return [
    ['', 'measured', 'aim', ''],
    ...rows.map(({ what, measured, aim, met }) => [
      what,
      measured,
      aim ?? '',
      met === undefined ? '' : met ? 'met' : 'MISSED',
    ]),
  ];
}
