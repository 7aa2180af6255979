import { msg, str } from '@lit/localize';
import { barNumber, barOf, barsOf, barEnd, beatAt } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';

/** Where a moment lies, short: "bar 37.2" is bar 37 beat 2, "pickup 1"; "lead-in", "free time", "end" outside bars. */
export function placeText(map: SongMap, time: Seconds): string {
  const place = beatAt(map, time);
  if (!place) return outsideText(map, time);
  const pickup = barOf(map, place.bar)?.pickup;
  const beat = place.beat + 1;
  return pickup ? msg(str`pickup ${beat}`) : msg(str`bar ${barNumber(map, place.bar)}.${beat}`);
}

/** The same to be read out: "bar 37 beat 2". */
export function placeWords(map: SongMap, time: Seconds): string {
  const place = beatAt(map, time);
  if (!place) return outsideText(map, time);
  const pickup = barOf(map, place.bar)?.pickup;
  const beat = place.beat + 1;
  return pickup ? msg(str`pickup beat ${beat}`) : msg(str`bar ${barNumber(map, place.bar)} beat ${beat}`);
}

function outsideText(map: SongMap, time: Seconds): string {
  const bars = barsOf(map);
  if (time < (bars[0]?.start ?? Infinity)) return msg('lead-in');
  return time >= barEnd(map, bars.length - 1) - 1e-6 ? msg('end') : msg('free time');
}
