import { msg, str } from '@lit/localize';
import { describeLock } from '../../../model/describe-lock.js';
import { isBarLocked } from '../../../model/edits/bars.js';
import { sameTime } from '../../../model/lock-holds.js';
import type { Lock } from '../../../model/locks.js';
import {
  barEnd,
  barNumber,
  barOf,
  beatAt,
  isIrregular,
  prevailingAt,
  sectionOfBar,
} from '../../../model/map-queries.js';
import type { Bar, SongMap } from '../../../model/song-map.js';
import type { BarIndex, BeatIndex, Seconds } from '../../../music/units.js';
import { barWidth } from '../map-view/bar-scale.js';
import { SURE } from '../map-view/boxes.js';
import { locksOfBar } from '../map-view/pins.js';
import { nearestPlace, rulerOf } from '../map-view/place.js';

/** What the bar panel is about: the bar and beat under the cursor, and the selected bars around it. */
export interface Target {
  readonly index: BarIndex;
  readonly bar: Bar;
  readonly end: Seconds;
  readonly beat: BeatIndex;
  readonly beatStart: Seconds;
  readonly beatEnd: Seconds;
  readonly isDownbeat: boolean;
  /** A lock already says how long the bar is. */
  readonly firm: boolean;
  /** As said, see barNumber. */
  readonly number: number;
  /** "Bar 37", "Pickup". */
  readonly name: string;
  /** "Bar 37, beat 2", "Pickup, beat 1". */
  readonly title: string;
  /** "irregular", "doubtful", "locked": as far as they are so. */
  readonly traits: readonly string[];
  /** "B Chorus". */
  readonly section: string | undefined;
  /** Length in beats of the time signature that prevails there: 3.5 for a bar of 7/8 among bars of 4/4. */
  readonly beats: number;
  /** The selected bars when the target is one of several, else the bar itself. */
  readonly range: { readonly first: BarIndex; readonly last: BarIndex; readonly from: Seconds; readonly to: Seconds };
  readonly locks: readonly { readonly id: string; readonly text: string }[];
}

/** The target at the cursor; undefined in a map without bars. */
export function targetOf(
  map: SongMap,
  cursor: Seconds,
  selection: { readonly first: BarIndex; readonly last: BarIndex } | undefined,
): Target | undefined {
  const place = nearestPlace(rulerOf(map), cursor);
  const bar = place && barOf(map, place.bar);
  const start = bar?.beats[place?.beat ?? 0];
  const found = start === undefined ? undefined : beatAt(map, start);
  if (!place || !bar || !found) return undefined;
  const end = barEnd(map, place.bar);
  const section = map.sections[sectionOfBar(map, place.bar) ?? -1];
  const locks = locksOfBar(map.locks, bar.start, end);
  const doubtful = bar.confidence < SURE || map.doubts.some((doubt) => sameTime(doubt.time, bar.start));
  const number = barNumber(map, place.bar);
  const name = bar.pickup ? msg('Pickup') : msg(str`Bar ${number}`);
  return {
    index: place.bar,
    bar,
    end,
    beat: found.beat,
    beatStart: found.start,
    beatEnd: found.end,
    firm: isBarLocked(map, place.bar),
    isDownbeat: found.beat === 0 && bar.pickup !== true,
    number,
    name,
    title: msg(str`${name}, beat ${found.beat + 1}`),
    traits: [
      ...(isIrregular(map, place.bar) ? [msg('irregular')] : []),
      ...(doubtful ? [msg('doubtful')] : []),
      ...(locks.length > 0 ? [msg('locked')] : []),
    ],
    section: section && (section.name === section.letter ? section.name : `${section.letter} ${section.name}`),
    beats: barWidth(bar.meter, prevailingAt(map, bar.start)),
    range: rangeOf(map, place.bar, selection),
    locks: locks.map((lock: Lock) => ({ id: lock.id, text: describeLock(lock, map) })),
  };
}

function rangeOf(
  map: SongMap,
  bar: BarIndex,
  selection: { readonly first: BarIndex; readonly last: BarIndex } | undefined,
): Target['range'] {
  const within = selection !== undefined && bar >= selection.first && bar <= selection.last;
  const first = within ? selection.first : bar;
  const last = within ? selection.last : bar;
  return { first, last, from: barOf(map, first)?.start ?? map.start, to: barEnd(map, last) };
}

/** Lengths offered on buttons, in beats: 1 to 7, and the bar's own when it is another. */
export function offeredLengths(beats: number): number[] {
  const lengths = [1, 2, 3, 4, 5, 6, 7];
  return lengths.includes(beats) ? lengths : [...lengths, beats].sort((a, b) => a - b);
}
