import { msg, str } from '@lit/localize';
import { barNumber, barOf, sectionBars, sectionOfBar } from '../../model/map-queries.js';
import type { Section, SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { nearestPlace, rulerOf } from './map-view/place.js';

/** What the section tools are about: the section at the cursor and the bars that can be named. */
export interface SectionTarget {
  readonly section: Section;
  readonly first: BarIndex;
  readonly last: BarIndex;
  /** "bars 13–20". */
  readonly bars: string;
  readonly suggested: boolean;
  readonly previous: Section | undefined;
  readonly next: Section | undefined;
  /** The bar at which it can be split: the cursor's, unless the section begins there. */
  readonly splitAt: BarIndex | undefined;
  /** The selected bars, when there are several or they are not this section's own. */
  readonly chosen: { readonly first: BarIndex; readonly last: BarIndex; readonly text: string } | undefined;
}

/** The target at the cursor; undefined in a map without sections. */
export function sectionTargetOf(
  map: SongMap,
  cursor: Seconds,
  selection: { readonly first: BarIndex; readonly last: BarIndex } | undefined,
): SectionTarget | undefined {
  const bar = nearestPlace(rulerOf(map), cursor)?.bar;
  const place = bar === undefined ? undefined : sectionOfBar(map, bar);
  const section = place === undefined ? undefined : map.sections[place];
  const range = place === undefined ? undefined : sectionBars(map, place);
  if (bar === undefined || place === undefined || !section || !range) return undefined;
  const whole = selection?.first === range.first && selection.last === range.last;
  const chosen = selection && selection.last > selection.first && !whole ? selection : undefined;
  return {
    section,
    ...range,
    bars: barsText(map, range.first, range.last),
    suggested: section.origin === 'suggested',
    previous: map.sections[place - 1],
    next: map.sections[place + 1],
    splitAt: bar > range.first && barOf(map, bar) ? bar : undefined,
    chosen: chosen && { ...chosen, text: barsText(map, chosen.first, chosen.last) },
  };
}

/** "bar 9", "bars 9–16"; a pickup is bar 0. */
export function barsText(map: SongMap, first: BarIndex, last: BarIndex): string {
  if (first === last) return msg(str`bar ${barNumber(map, first)}`);
  return msg(str`bars ${barNumber(map, first)}–${barNumber(map, last)}`);
}
