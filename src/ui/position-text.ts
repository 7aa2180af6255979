import type { Seconds } from '../music/units.js';
import type { SongMap } from '../model/song-map.js';
import { barAt, barList, beatAt, lastStarted } from './bar-list.js';

/** "1:42"; "1:02:05" from an hour on. Whole seconds passed. */
export function clockText(time: Seconds): string {
  const whole = Math.max(0, Math.floor(time + 1e-6));
  const seconds = String(whole % 60).padStart(2, '0');
  const minutes = Math.floor(whole / 60);
  return minutes < 60
    ? `${minutes}:${seconds}`
    : `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}:${seconds}`;
}

/** Where a moment lies, short: "37.2" is bar 37 beat 2; "lead-in", "free", "end" outside bars. */
export function placeText(map: SongMap, time: Seconds): string {
  const bars = barList(map);
  const item = barAt(bars, time + 1e-6);
  if (item) return `${item.number}.${beatAt(item, time + 1e-6) + 1}`;
  return outsideText(map, time);
}

/** The same to be read out: "bar 37 beat 2". */
export function placeWords(map: SongMap, time: Seconds): string {
  const bars = barList(map);
  const item = barAt(bars, time + 1e-6);
  if (item) return `${item.number === 0 ? 'pickup' : `bar ${item.number}`} beat ${beatAt(item, time + 1e-6) + 1}`;
  return outsideText(map, time);
}

function outsideText(map: SongMap, time: Seconds): string {
  const bars = barList(map);
  if (lastStarted(bars, time) < 0) return 'lead-in';
  return time >= (bars.at(-1)?.end ?? map.end) - 1e-6 ? 'end' : 'free';
}
