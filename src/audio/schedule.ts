import type { Seconds } from '../music/units.js';

/** A stretch of the recording to be played, from <= until. */
export interface Stretch {
  readonly from: Seconds;
  readonly until: Seconds;
}

/**
 * The stretch that `play(from, until)` asks of a recording of `duration` seconds: both clipped to it, without `until`
 * to its end. Throws when `from` or `until` is not a number.
 */
export function stretchToPlay(from: Seconds, until: Seconds | undefined, duration: Seconds): Stretch {
  if (Number.isNaN(from) || Number.isNaN(until ?? 0)) {
    throw new RangeError(`play: found from ${from}, until ${until}; give times in seconds`);
  }
  const start = Math.min(Math.max(0, from), duration);
  return { from: start, until: Math.max(start, Math.min(until ?? duration, duration)) };
}

/**
 * Place in the recording after `elapsed` seconds of a schedule of stretches: a function, so that it cannot drift.
 * Before 0 it is the first place, after the last stretch its end.
 */
export function placeAt(stretches: readonly Stretch[], elapsed: Seconds): Seconds {
  let left = Math.max(0, elapsed);
  for (const stretch of stretches) {
    const length = stretch.until - stretch.from;
    if (left < length) return stretch.from + left;
    left -= length;
  }
  return stretches.at(-1)?.until ?? 0;
}
