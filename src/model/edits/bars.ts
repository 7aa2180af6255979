import { msg, str } from '@lit/localize';
import { numberText } from '../../music/number-text.js';
import { beatsOf, sameMeter, withBeats, type Meter } from '../../music/meter.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { sameTime, TIME_TOLERANCE } from '../lock-holds.js';
import { barEnd, barOf, barsOf, barStartingAt, prevailingAt } from '../map-queries.js';
import type { Bar, SongMap } from '../song-map.js';
import { addLocks } from './add-locks.js';
import { EditProblem } from './problem.js';

/** Largest number of beats a bar can be given. */
export const MOST_BEATS = 32;

/** A bar starts on the beat at `time`. */
export function setDownbeat(map: SongMap, time: Seconds): SongMap {
  return addLocks(map, [{ kind: 'downbeat', time }]);
}

/** No bar starts on the beat at `time`. */
export function clearDownbeat(map: SongMap, time: Seconds): SongMap {
  return addLocks(map, [{ kind: 'not-downbeat', time }]);
}

/** A bar starts on the beat at `time`, or, when one does already (a pickup does not count), no longer does. */
export function toggleDownbeat(map: SongMap, time: Seconds): SongMap {
  const bar = barStartingAt(map, time);
  const startsBar = bar !== undefined && barOf(map, bar)?.pickup !== true;
  return startsBar ? clearDownbeat(map, time) : setDownbeat(map, time);
}

/** The bar has so many beats: whole or half ones, 0.5 to MOST_BEATS, of the kind of beat that prevails there. */
export function setBarBeats(map: SongMap, bar: BarIndex, beats: number): SongMap {
  return setBarMeter(map, bar, meterWithBeats(map, bar, beats));
}

/** The measure that setBarBeats would give the bar; the prevailing one, with its grouping, when it has so many beats. */
export function meterWithBeats(map: SongMap, bar: BarIndex, beats: number): Meter {
  const prevailing = prevailingAt(map, theBar(map, bar).start);
  const count = numberText(beats, 2);
  if (!(beats >= 0.5 && beats <= MOST_BEATS && Number.isInteger(beats * 2))) {
    throw new EditProblem(
      msg(str`A bar cannot have ${count} beats: whole or half beats up to ${MOST_BEATS} can be set.`),
    );
  }
  if (beats === beatsOf(prevailing)) return prevailing;
  try {
    return withBeats(prevailing, beats);
  } catch {
    throw new EditProblem(
      msg(str`${count} beats cannot be written where a beat is as short as here; set a time signature.`),
    );
  }
}

/** The bar has this measure; a grouping (2+2+3) stays with it. */
export function setBarMeter(map: SongMap, bar: BarIndex, meter: Meter): SongMap {
  return addLocks(map, [{ kind: 'bar-length', time: theBar(map, bar).start, meter }]);
}

/** Accepts the bar as it stands: where it starts and how long it is. */
export function lockBar(map: SongMap, bar: BarIndex): SongMap {
  const { start, meter } = theBar(map, bar);
  return addLocks(map, [{ kind: 'bar-length', time: start, meter }]);
}

/**
 * From `from` to `to` (moved to the bar lines around them) the time signature is `meter`. Bars that the user gave
 * another length keep it. Over the whole map it also becomes the prevailing one at once.
 */
export function setMeter(map: SongMap, from: Seconds, to: Seconds, meter: Meter): SongMap {
  const stretch = toBarLines(map, from, to);
  const next = addLocks(map, [{ kind: 'meter', ...stretch, meter }]);
  return stretch.from <= map.start && stretch.to >= map.end ? { ...next, prevailing: meter } : next;
}

/**
 * A stretch grown to whole bars, the first and last bar reaching to the edge of the map; as given where there are no
 * bars. Throws EditProblem when it is empty.
 */
export function toBarLines(map: SongMap, from: Seconds, to: Seconds): { readonly from: Seconds; readonly to: Seconds } {
  if (!(from < to)) throw new EditProblem(msg('That stretch has no length: choose two different places.'));
  const bars = barsOf(map);
  let low = Math.max(from, map.start);
  let high = Math.min(to, map.end);
  bars.forEach((bar, i) => {
    const end = barEnd(map, i);
    const touches = Math.min(end, to) - Math.max(bar.start, from) > TIME_TOLERANCE;
    if (!touches) return;
    low = Math.min(low, i === 0 ? map.start : bar.start);
    high = Math.max(high, i === bars.length - 1 ? map.end : end);
  });
  if (!(low < high)) throw new EditProblem(msg('That stretch lies outside the map: choose a place inside it.'));
  return { from: low, to: high };
}

/** The bar, or an EditProblem when there is none. */
export function theBar(map: SongMap, bar: BarIndex): Bar {
  const found = barOf(map, bar);
  if (!found) throw new EditProblem(msg('There is no such bar: choose one on the map.'));
  return found;
}

/** True when a bar already has this measure and a lock that says so. */
export function isBarLocked(map: SongMap, bar: BarIndex): boolean {
  const { start, meter } = theBar(map, bar);
  return map.locks.some((l) => l.kind === 'bar-length' && sameTime(l.time, start) && sameMeter(l.meter, meter));
}
