import type { Seconds } from '../music/units.js';
import type { Bar, SongMap } from './song-map.js';

/** What the queries look up in: made once a map, on the first question. */
export interface MapIndex {
  readonly bars: readonly Bar[];
  /** Ends of the bars. */
  readonly ends: readonly Seconds[];
  /** Place of each bar among the spans. */
  readonly spanOfBar: readonly number[];
  /** Starts of the bars other than a pickup. */
  readonly lines: readonly Seconds[];
  /** Numbers of the bars as said: whole bars from 1, a pickup that of the bar before it (0 in front of all). */
  readonly numbers: readonly number[];
  /** All beats of all bars, ascending. */
  readonly beats: readonly Seconds[];
  /** For each bar, the place of its first beat among `beats`. */
  readonly firstBeat: readonly number[];
  /** For each of `beats`, its bar. */
  readonly barOfBeat: readonly number[];
}

// Keyed by the spans and not the map: an edit that leaves the spans keeps the index. `end` is checked, as it bounds the last bar.
const known = new WeakMap<SongMap['spans'], { readonly end: Seconds; readonly index: MapIndex }>();

/** The index of a map; the same object as long as spans and end are the same. */
export function indexOf(map: Pick<SongMap, 'spans' | 'end'>): MapIndex {
  const found = known.get(map.spans);
  if (found && found.end === map.end) return found.index;
  const index = makeIndex(map);
  known.set(map.spans, { end: map.end, index });
  return index;
}

function makeIndex(map: Pick<SongMap, 'spans' | 'end'>): MapIndex {
  const bars: Bar[] = [];
  const ends: Seconds[] = [];
  const spanOfBar: number[] = [];
  const beats: Seconds[] = [];
  const firstBeat: number[] = [];
  const barOfBeat: number[] = [];
  map.spans.forEach((span, s) => {
    if (span.kind !== 'bar') return;
    firstBeat.push(beats.length);
    for (const beat of span.beats) {
      beats.push(beat);
      barOfBeat.push(bars.length);
    }
    bars.push(span);
    ends.push(map.spans[s + 1]?.start ?? map.end);
    spanOfBar.push(s);
  });
  const lines = bars.filter((bar) => !bar.pickup).map((bar) => bar.start);
  let whole = 0;
  const numbers = bars.map((bar) => (bar.pickup ? whole : ++whole));
  return { bars, ends, spanOfBar, lines, numbers, beats, firstBeat, barOfBeat };
}

/** How many of the ascending `times` are at most `time` (binary search). */
export function countUpTo(times: readonly Seconds[], time: Seconds): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? Infinity) <= time) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The nearest of the ascending `times`; NaN when there is none. */
export function nearestTime(times: readonly Seconds[], time: Seconds): Seconds {
  return times[nearestPlace(times, time)] ?? NaN;
}

/** Place of the nearest of the ascending `times` (the earlier of two equally near); -1 when there is none. */
export function nearestPlace(times: readonly Seconds[], time: Seconds): number {
  const after = countUpTo(times, time);
  const before = after - 1;
  if (before < 0) return times.length > 0 ? 0 : -1;
  if (after >= times.length) return before;
  return time - (times[before] ?? -Infinity) <= (times[after] ?? Infinity) - time ? before : after;
}
