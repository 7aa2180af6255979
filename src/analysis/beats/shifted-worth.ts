import { favour, regionAt, type SongPlan } from '../meter/song-plan.js';
import type { Pulse } from './pulse.js';

/** A bar line this share of a beat or more off the beats means that all beats after it were off. */
const OFF_BEAT = 0.25;
/** How far the pulse is still believed there, and what the moved beats are worth. */
const BELIEVED = 0.3;
const MOVED_BEAT = 2.5;

/**
 * Worth of the frames once bar lines are locked. A bar line that the user puts between the beats moves the beats that
 * follow, up to the next locked beat: one correction, not one a beat. `moved` tells where (seconds).
 */
export function shiftedWorth(
  plan: SongPlan,
  pulse: Pulse,
  required: readonly number[],
  downbeats: readonly number[],
  last: number,
): { readonly worth: Float32Array; readonly moved: readonly { readonly from: number; readonly to: number }[] } {
  let worth = plan.worth;
  const moved: { from: number; to: number }[] = [];
  downbeats.forEach((time) => {
    const beats = regionAt(plan, time).level.times;
    const near = nearestIndex(beats, time);
    const offset = time - (beats[near] as number);
    const period = (plan.curve[Math.min(pulse.frames - 1, Math.round(time * pulse.rate))] as number) / pulse.rate;
    if (Math.abs(offset) < OFF_BEAT * period || Math.abs(offset) > period) return;
    if (worth === plan.worth) worth = plan.worth.slice();
    const until = required.find((other) => other > time + 1e-6) ?? Infinity;
    moved.push({ from: time, to: until });
    const from = Math.round(time * pulse.rate);
    const to = Math.min(last + 1, Math.round(until * pulse.rate));
    for (let t = from; t < to; t++) worth[t] = BELIEVED * (pulse.worth[t] as number);
    for (let i = near; i < beats.length; i++)
      favour(worth, Math.round(((beats[i] as number) + offset) * pulse.rate), from, to, MOVED_BEAT);
  });
  return { worth, moved };
}

function nearestIndex(times: readonly number[], time: number): number {
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] as number) < time) low = middle + 1;
    else high = middle;
  }
  return low > 0 && time - (times[low - 1] as number) < (times[low] as number) - time ? low - 1 : low;
}
