import { sameValue } from '../../model/same-value.js';
import type { SongMap } from '../../model/song-map.js';

/** True when solving again could give other bars: the locks or the moments where the map begins and ends differ. */
export function needsSolving(before: SongMap, after: SongMap): boolean {
  if (before.start !== after.start || before.end !== after.end) return true;
  return before.locks !== after.locks && !sameValue(before.locks, after.locks);
}
