import type { Bar, SongMap } from '../../../model/song-map.js';
import type { Lock } from '../../../model/locks.js';
import { describeLock } from '../../../model/describe-lock.js';
import { lockStretch } from '../../../model/lock-stretch.js';
import type { BeatIndex, Seconds } from '../../../music/units.js';
import { TIME_TOLERANCE } from '../../../model/lock-holds.js';

/** Locks of one bar as pins under its line and, for locks over a stretch, a rail along it. */
export interface BarPins {
  readonly pins: readonly Pin[];
  readonly rail: Rail | undefined;
}

export interface Pin {
  readonly beat: BeatIndex;
  /** A pin that forbids something is drawn open. */
  readonly open: boolean;
  readonly ids: readonly string[];
  readonly text: string;
}

/** Whether the stretch begins or ends at this bar's own edges. */
export interface Rail {
  readonly begins: boolean;
  readonly ends: boolean;
  readonly text: string;
}

/** Seconds either side of a beat within which a lock is shown on it. */
const NEAR: Seconds = 0.075;

/** Pins and rails of each bar, in the order of `bars`. */
export function pinsByBar(map: SongMap, bars: readonly { readonly bar: Bar; readonly end: Seconds }[]): BarPins[] {
  const pins: Pin[][] = bars.map(() => []);
  const rails: (Rail | undefined)[] = bars.map(() => undefined);
  for (const lock of map.locks) {
    if (lock.kind === 'edge' || lock.kind === 'free') continue;
    const { from, to } = lockStretch(lock);
    if (to > from) {
      bars.forEach(({ bar, end }, i) => {
        if (bar.start > to - TIME_TOLERANCE || end < from + TIME_TOLERANCE) return;
        const begins = bar.start <= from + TIME_TOLERANCE || from > bar.start;
        const known = rails[i];
        rails[i] = {
          begins: (known?.begins ?? false) || (begins && from >= bar.start - TIME_TOLERANCE),
          ends: (known?.ends ?? false) || to <= end + TIME_TOLERANCE,
          text: known ? `${known.text}, ${describeLock(lock, map)}` : describeLock(lock, map),
        };
      });
      continue;
    }
    const place = beatNear(bars, from);
    if (!place) continue;
    const open = lock.kind === 'no-beat' || lock.kind === 'not-downbeat';
    const own = pins[place.bar] ?? [];
    const known = own.findIndex((pin) => pin.beat === place.beat && pin.open === open);
    const before = own[known];
    const pin: Pin = {
      beat: place.beat,
      open,
      ids: [...(before?.ids ?? []), lock.id],
      text: before ? `${before.text}, ${describeLock(lock, map)}` : describeLock(lock, map),
    };
    if (before) own[known] = pin;
    else own.push(pin);
  }
  return pins.map((own, i) => ({ pins: own.sort((a, b) => a.beat - b.beat), rail: rails[i] }));
}

/** The beat nearest to `time`, or the one sounding there when none is near. */
function beatNear(
  bars: readonly { readonly bar: Bar; readonly end: Seconds }[],
  time: Seconds,
): { readonly bar: number; readonly beat: BeatIndex } | undefined {
  let low = 0;
  let high = bars.length - 1;
  // First bar that ends after the time, the tolerance taken off so that a lock just before a bar line stands on it.
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((bars[middle]?.end ?? 0) > time + NEAR) high = middle;
    else low = middle + 1;
  }
  const found = bars[low];
  if (!found || time < found.bar.start - NEAR || time > found.end + NEAR) return undefined;
  let beat = 0;
  found.bar.beats.forEach((at, k) => {
    if (at <= time + NEAR) beat = k;
  });
  return { bar: low, beat };
}

/** Locks that touch the bar from `start` to `end`, oldest first. */
export function locksOfBar(locks: readonly Lock[], start: Seconds, end: Seconds): Lock[] {
  return locks.filter((lock) => {
    const { from, to } = lockStretch(lock);
    if (to > from) return from < end - TIME_TOLERANCE && to > start + TIME_TOLERANCE;
    return from >= start - NEAR && from < end - NEAR;
  });
}
