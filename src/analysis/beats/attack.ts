import type { Track } from '../evidence.js';
import type { FoundBeat } from './grid.js';

/** How far, in seconds, a beat may move to its attack. */
const REACH = 0.035;

/**
 * Moves each beat that no lock holds onto the attack within 35 ms: the top of the parabola through the largest value of
 * the beat track and its neighbours. Where there is no clear attack the beat stays.
 */
export function snapToAttacks(beats: readonly FoundBeat[], track: Track): FoundBeat[] {
  return beats.map((beat) => (beat.exact ? beat : { time: attackNear(beat.time, track, REACH), exact: false }));
}

/** Time of the attack nearest to `time` within `reach` seconds, or `time` itself when there is none. */
export function attackNear(time: number, track: Track, reach: number): number {
  const centre = time * track.rate;
  const from = Math.max(1, Math.ceil(centre - reach * track.rate));
  const to = Math.min(track.data.length - 2, Math.floor(centre + reach * track.rate));
  let arg = -1;
  let top = 0;
  for (let i = from; i <= to; i++) {
    const value = track.data[i] as number;
    if (value < (track.data[i - 1] as number) || value < (track.data[i + 1] as number)) continue;
    const worth = value * (1 - 0.4 * (Math.abs(i - centre) / (reach * track.rate)) ** 2);
    if (worth > top) {
      top = worth;
      arg = i;
    }
  }
  if (arg < 0 || top < 25) return time;
  const [a, b, c] = [track.data[arg - 1] as number, track.data[arg] as number, track.data[arg + 1] as number];
  const bend = a - 2 * b + c;
  const shift = bend < 0 ? (0.5 * (a - c)) / bend : 0;
  return (arg + Math.max(-0.5, Math.min(0.5, shift))) / track.rate;
}
