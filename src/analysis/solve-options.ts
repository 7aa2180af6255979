/** How to solve, for measurements; nothing is left out when absent. */
export interface SolveOptions {
  /**
   * Leaves out what the same material elsewhere in the song says, to see what it is worth. Network and harmony are left
   * out by solving from evidence without their tracks.
   */
  readonly without?: readonly 'repetition'[];
}
