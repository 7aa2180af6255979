import type { Section } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import type { BarSlot } from '../bar-grid.js';
import type { SegmentLimits } from './segment.js';

/** A user's section and the bar it now starts with. */
export interface Kept {
  readonly section: Section;
  readonly firstBar: number;
}

/**
 * Places the user's sections of a map on new bars: each starts on the bar line nearest to its anchor and ends on the
 * one nearest to the next section's start. Of two that fall on the same bar the later moves one bar on; those for which
 * no bar is left are gone.
 */
export function keepUserSections(
  sections: readonly Section[],
  bars: readonly BarSlot[],
): SegmentLimits & { readonly kept: readonly Kept[] } {
  const kept: Kept[] = [];
  const forced = new Set<number>([0]);
  const barred = new Set<number>();
  let free = 0;
  sections.forEach((section, i) => {
    if (section.origin !== 'user') return;
    const firstBar = Math.max(free, nearestBar(bars, section.anchor ?? section.start));
    if (firstBar >= bars.length) return;
    const next = sections[i + 1];
    const wanted = next ? nearestBar(bars, next.anchor ?? next.start) : bars.length;
    const end = Math.min(bars.length, Math.max(firstBar + 1, wanted));
    kept.push({ section, firstBar });
    forced.add(firstBar);
    forced.add(end);
    for (let bar = firstBar + 1; bar < end; bar++) barred.add(bar);
    free = firstBar + 1;
  });
  return { kept, forced, barred };
}

function nearestBar(bars: readonly BarSlot[], time: Seconds): number {
  let best = 0;
  bars.forEach(({ start }, i) => {
    if (Math.abs(start - time) < Math.abs((bars[best] as BarSlot).start - time)) best = i;
  });
  return best;
}
