import { barAt, barsOf, sectionOfBar } from '../../model/map-queries.js';
import { TIME_TOLERANCE } from '../../model/lock-holds.js';
import type { Section, SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';

/** The bar that sounds at `time`, else the last one before it, else the first; undefined when there are no bars. */
export function barNear(map: SongMap, time: Seconds): BarIndex | undefined {
  const here = barAt(map, time);
  if (here !== undefined) return here;
  const bars = barsOf(map);
  if (bars.length === 0) return undefined;
  return Math.max(0, bars.filter((bar) => bar.start <= time).length - 1);
}

/** Start of the bar `steps` bars from `time`; backwards from inside a bar the first step goes to its own start. */
export function barLineFrom(map: SongMap, time: Seconds, steps: number): Seconds | undefined {
  return stepFrom(
    barsOf(map).map((bar) => bar.start),
    time,
    steps,
  );
}

/** Start of the section `steps` sections from the one at `time`. */
export function sectionStartFrom(map: SongMap, time: Seconds, steps: number): Seconds | undefined {
  return stepFrom(
    map.sections.map((section) => section.start),
    time,
    steps,
  );
}

/** The section that holds `time`, else the last before it, else the first. */
export function sectionNear(map: SongMap, time: Seconds): Section | undefined {
  const bar = barNear(map, time);
  return bar === undefined ? undefined : map.sections[sectionOfBar(map, bar) ?? 0];
}

function stepFrom(times: readonly Seconds[], time: Seconds, steps: number): Seconds | undefined {
  const here = times.filter((each) => each <= time + TIME_TOLERANCE).length - 1;
  const between = here >= 0 && time - (times[here] ?? time) > TIME_TOLERANCE;
  const target = here + steps + (steps < 0 && between ? 1 : 0);
  return times[Math.max(0, Math.min(times.length - 1, target))];
}
