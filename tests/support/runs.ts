/** How many random cases a property is tried on: `count`, and 20 times as many in the long run. */
export function runs(count: number): number {
  return process.env.BARWRIGHT_LONG ? 20 * count : count;
}
