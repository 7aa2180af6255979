import type { Seconds } from '../music/units.js';

/** How passes of a section can differ; pass-table.ts has what is told of each. */
export const DIFFERENCE_KINDS = ['length', 'chord', 'added', 'dropped', 'key'] as const;

/**
 * A difference that the user does not want to hear of: any of this kind about this place. Placed in time, like locks; it
 * silences what is less than half a beat away.
 */
export interface IgnoredDifference {
  readonly kind: (typeof DIFFERENCE_KINDS)[number];
  readonly time: Seconds;
}
