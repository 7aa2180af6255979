import { meterText, sameMeter, type Meter } from '../music/meter.js';
import type { BarIndex, Seconds } from '../music/units.js';
import type { Bar, SongMap } from '../model/song-map.js';

/** A bar as screens speak of it. */
export interface BarItem {
  readonly index: BarIndex;
  /** As said: 1 for the first full bar, 0 for a pickup. */
  readonly number: number;
  readonly bar: Bar;
  readonly start: Seconds;
  /** Where the next span begins. */
  readonly end: Seconds;
  readonly irregular: boolean;
  readonly doubtful: boolean;
}

const known = new WeakMap<SongMap, readonly BarItem[]>();

/** The bars of a map in order, with their ends and numbers; worked out once a map. */
export function barList(map: SongMap): readonly BarItem[] {
  const before = known.get(map);
  if (before) return before;
  const doubts = new Set(map.doubts.map((doubt) => doubt.time));
  const bars: BarItem[] = [];
  let shift = 1;
  map.spans.forEach((span, place) => {
    if (span.kind !== 'bar') return;
    const index = bars.length;
    if (index === 0 && span.pickup) shift = 0;
    bars.push({
      index,
      number: index + shift,
      bar: span,
      start: span.start,
      end: map.spans[place + 1]?.start ?? map.end,
      irregular: !span.pickup && !sameMeter(span.meter, map.prevailing),
      doubtful: doubts.has(span.start),
    });
  });
  known.set(map, bars);
  return bars;
}

/** The bar that sounds at `time`; undefined before, after and between bars. */
export function barAt(bars: readonly BarItem[], time: Seconds): BarItem | undefined {
  const item = bars[lastStarted(bars, time)];
  return item && time < item.end ? item : undefined;
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

/** Which beat of the bar sounds at `time`, from 0. */
export function beatAt(item: BarItem, time: Seconds): number {
  let beat = 0;
  item.bar.beats.forEach((start, place) => {
    if (start <= time) beat = place;
  });
  return beat;
}

/** Length as a notch says it: "2" when the beat is the usual one and the bar a whole number of them, otherwise "7/8". */
export function lengthText(meter: Meter, prevailing: Meter): string {
  const beats = meter.count / meter.beatUnits;
  const sameBeat = meter.beatUnits * prevailing.unit === prevailing.beatUnits * meter.unit;
  return sameBeat && Number.isInteger(beats) ? String(beats) : meterText({ ...meter, grouping: undefined });
}
