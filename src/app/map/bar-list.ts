import type { BarIndex, Seconds } from '../../music/units.js';
import { barAt as barIndexAt, barEnd, barNumber, barsOf, isIrregular } from '../../model/map-queries.js';
import type { Bar, SongMap } from '../../model/song-map.js';

/** A bar as screens speak of it. */
export interface BarItem {
  readonly index: BarIndex;
  /** As said, see barNumber. */
  readonly number: number;
  readonly bar: Bar;
  readonly start: Seconds;
  /** Where the next span begins. */
  readonly end: Seconds;
  readonly irregular: boolean;
  /** A doubt names it. */
  readonly doubtful: boolean;
}

const known = new WeakMap<SongMap, readonly BarItem[]>();

/** The bars of a map in order, with their ends and numbers; worked out once a map. */
export function barList(map: SongMap): readonly BarItem[] {
  const before = known.get(map);
  if (before) return before;
  const doubts = new Set(map.doubts.map((doubt) => doubt.time));
  const bars = barsOf(map).map((bar, index): BarItem => ({
    index,
    number: barNumber(map, index),
    bar,
    start: bar.start,
    end: barEnd(map, index),
    irregular: isIrregular(map, index),
    doubtful: doubts.has(bar.start),
  }));
  known.set(map, bars);
  return bars;
}

/** The bar that sounds at `time`; undefined before, after and between bars. */
export function barAt(map: SongMap, time: Seconds): BarItem | undefined {
  const index = barIndexAt(map, time);
  return index === undefined ? undefined : barList(map)[index];
}

/** Place in `bars` of the last bar that starts at or before `time`; -1 before the first. */
export function lastStarted(bars: readonly BarItem[], time: Seconds): number {
  let low = 0;
  let high = bars.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((bars[middle]?.start ?? Infinity) <= time) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
