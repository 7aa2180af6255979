/**
 * Cost, in nats, of a bar whose length is not the prevailing one. In open beat annotations of pop and rock 1.4 to 4.3 %
 * of bars are; in songs in 4 the lengths met are 2, 6, 3, 5, 7, roughly in that order.
 */
const IRREGULAR = 6;
/** Extra cost of each beat beyond two more than usual: 4 and 3 are likelier than 7. */
const LONG = 2;
/** Extra cost of a bar that is as long as several usual ones. */
const SEVERAL = 10;
/** Cost of a pickup. */
export const PICKUP_COST = 1;

/** Cost of a bar of `length` beats where bars of `beats` beats prevail. */
export function lengthCost(length: number, beats: number): number {
  if (length === beats) return 0;
  const bothEven = beats % 2 === 0 && length % 2 === 0;
  return (
    IRREGULAR +
    (bothEven ? 0 : 0.5) +
    (length === 1 ? 2 : 0) +
    (length > 2 * beats ? 4 : 0) +
    (length % beats === 0 ? SEVERAL : 0) +
    (beats - length > 4 ? 1 : 0) +
    LONG * Math.max(0, length - beats - 2)
  );
}
