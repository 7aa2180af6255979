import type { BarSlot } from './bar-grid.js';

/** Seconds by which a beat may differ and still be the same. */
const SAME = 1e-6;

/** For each bar now whether it was not there before with the same beats. */
export function changedBars(before: readonly BarSlot[], now: readonly BarSlot[]): boolean[] {
  let at = 0;
  return now.map((bar) => {
    while (at < before.length && (before[at] as BarSlot).start < bar.start - SAME) at += 1;
    const old = before[at];
    return !old || !sameBar(old, bar);
  });
}

function sameBar(a: BarSlot, b: BarSlot): boolean {
  const beats = b.bar.beats;
  return (
    Math.abs(a.start - b.start) <= SAME &&
    Math.abs(a.end - b.end) <= SAME &&
    a.bar.beats.length === beats.length &&
    a.bar.beats.every((beat, k) => Math.abs(beat - (beats[k] as number)) <= SAME)
  );
}
