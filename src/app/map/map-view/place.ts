import type { BarIndex, BeatIndex, Seconds } from '../../../music/units.js';
import { barList } from '../bar-list.js';
import type { BarBox } from './boxes.js';
import type { SongMap } from '../../../model/song-map.js';

/** A beat of the map. */
export interface Place {
  readonly bar: BarIndex;
  readonly beat: BeatIndex;
}

/** Times of the bars and beats of a map, for finding places quickly. */
export interface Ruler {
  /** Start of each bar. */
  readonly starts: readonly Seconds[];
  readonly ends: readonly Seconds[];
  readonly beats: readonly (readonly Seconds[])[];
}

export function rulerOf(map: SongMap): Ruler {
  const bars = barList(map);
  return {
    starts: bars.map(({ bar }) => bar.start),
    ends: bars.map(({ end }) => end),
    beats: bars.map(({ bar }) => bar.beats),
  };
}

/** Seconds before a beat that still count as the beat: a cursor put there by another rounding. */
const EARLY: Seconds = 1e-4;

/** Bar and beat that sound at `time`; undefined in the lead-in, a free stretch and the tail. */
export function placeAt(ruler: Ruler, time: Seconds): Place | undefined {
  const bar = lastAtOrBefore(ruler.starts, time + EARLY);
  if (bar < 0 || time >= (ruler.ends[bar] ?? 0) - EARLY) return undefined;
  return { bar, beat: Math.max(0, lastAtOrBefore(ruler.beats[bar] ?? [], time + EARLY)) };
}

/** The place that actions at `time` are about: where it sounds, else the nearest bar's edge. Undefined without bars. */
export function nearestPlace(ruler: Ruler, time: Seconds): Place | undefined {
  const place = placeAt(ruler, time);
  if (place || ruler.starts.length === 0) return place;
  const before = lastAtOrBefore(ruler.starts, time);
  if (before < 0) return { bar: 0, beat: 0 };
  const after = before + 1;
  const end = ruler.ends[before] ?? 0;
  const next = ruler.starts[after];
  if (next !== undefined && next - time < time - end) return { bar: after, beat: 0 };
  return { bar: before, beat: Math.max(0, (ruler.beats[before]?.length ?? 1) - 1) };
}

/** The beat drawn at `x` beats from the start of a bar's box; x outside the box is taken to its nearest edge. */
export function beatAtX(box: BarBox, x: number): BeatIndex {
  return Math.max(0, lastAtOrBefore(box.xs, x));
}

function lastAtOrBefore(ascending: readonly number[], value: number): number {
  let low = 0;
  let high = ascending.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((ascending[middle] ?? Infinity) <= value) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
