import { barNumber, barOf, barsOf, barEnd, beatAt } from '../model/map-queries.js';
import type { SongMap } from '../model/song-map.js';
import type { Seconds } from '../music/units.js';

/** Where a moment lies, short: "bar 37.2" is bar 37 beat 2, "pickup 1"; "lead-in", "free time", "end" outside bars. */
export function placeText(map: SongMap, time: Seconds): string {
  const place = beatAt(map, time);
  if (!place) return outsideText(map, time);
  const pickup = barOf(map, place.bar)?.pickup;
  return pickup ? `pickup ${place.beat + 1}` : `bar ${barNumber(map, place.bar)}.${place.beat + 1}`;
}

/** The same to be read out: "bar 37 beat 2". */
export function placeWords(map: SongMap, time: Seconds): string {
  const place = beatAt(map, time);
  if (!place) return outsideText(map, time);
  const pickup = barOf(map, place.bar)?.pickup;
  return `${pickup ? 'pickup' : `bar ${barNumber(map, place.bar)}`} beat ${place.beat + 1}`;
}

function outsideText(map: SongMap, time: Seconds): string {
  const bars = barsOf(map);
  if (time < (bars[0]?.start ?? Infinity)) return 'lead-in';
  return time >= barEnd(map, bars.length - 1) - 1e-6 ? 'end' : 'free time';
}
