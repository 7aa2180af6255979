import { describeShift, planShift, shiftBarLines } from '../../model/edits/shift.js';
import { barOf, nearestBar } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { barNear } from './places.js';
import { faultOf } from '../kit/words.js';
import type { Editing } from '../song/editing.js';

/** All bar lines from the bar at `from` on, or everywhere without `from`, come one beat earlier (-1) or later (1). */
export async function shiftBars(session: Editing, by: 1 | -1, from: Seconds | undefined): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const bar = from === undefined ? undefined : barNear(map, from);
  const start = bar === undefined ? undefined : barOf(map, bar)?.start;
  const barNow = (now: SongMap): BarIndex | undefined => (start === undefined ? undefined : nearestBar(now, start));
  const fault = faultOf(() => planShift(map, bar, by));
  if (fault !== undefined) session.say({ kind: 'error', text: fault });
  else
    await session.edit(describeShift(map, planShift(map, bar, by), by), (now) => shiftBarLines(now, barNow(now), by));
}
