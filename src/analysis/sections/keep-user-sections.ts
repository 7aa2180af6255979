import { firmPlaces } from '../../model/follow.js';
import { nearestPlace } from '../../model/map-index.js';
import type { Section } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import type { BarSlot } from '../bars/bar-grid.js';
import type { SegmentLimits } from './segment.js';

/** A section of the user's and the bar it now starts with. */
export interface Kept {
  readonly section: Section;
  readonly firstBar: number;
}

/**
 * What the user decided about sections, on new bars: the sections the user named (`kept`) run from their bar to that of
 * the section after them and are not divided; a section begins where the user put an edge. Where sections start on
 * other bars: see firmPlaces.
 */
export function keepUserSections(
  sections: readonly Section[],
  bars: readonly BarSlot[],
): SegmentLimits & { readonly kept: readonly Kept[] } {
  const lines = bars.map(({ start }) => start);
  const places = firmPlaces(sections, lines);
  const forced = new Set<number>([0, ...places.values()]);
  const barred = new Set<number>();
  const kept: Kept[] = [];
  sections.forEach((section, i) => {
    const firstBar = places.get(section);
    if (firstBar === undefined || section.origin !== 'user') return;
    const next = sections[i + 1];
    const wanted = next ? (places.get(next) ?? nearestPlace(lines, next.start)) : bars.length;
    const end = Math.min(bars.length, Math.max(firstBar + 1, wanted));
    kept.push({ section, firstBar });
    forced.add(end);
    for (let bar = firstBar + 1; bar < end; bar++) barred.add(bar);
  });
  return { kept, forced, barred };
}

/** Bars either side of a refused beginning at which none is suggested: one or two bars on it would be the same idea. */
const REFUSED_REACH = 2;

/** The first bars of sections without those that the user refused; the song's first and forced ones stay. */
export function withoutRefused(
  starts: readonly number[],
  bars: readonly BarSlot[],
  refused: readonly Seconds[],
  forced: ReadonlySet<number>,
): readonly number[] {
  const lines = bars.map(({ start }) => start);
  const gone = refused.map((time) => nearestPlace(lines, time));
  return starts.filter((bar) => forced.has(bar) || gone.every((other) => Math.abs(bar - other) > REFUSED_REACH));
}
