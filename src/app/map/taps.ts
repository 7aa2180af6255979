import { frameCount, type Evidence } from '../../analysis/evidence/evidence.js';
import type { LockDraft } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import type { Tapping } from '../kit/session.js';

/** A tap moves to the strongest attack at most this far away. */
export const SNAP_RADIUS: Seconds = 0.07;

/** Two taps closer than this are one: no beat is shorter (300 a minute and more is not tapped). */
const SHORTEST: Seconds = 0.15;

/** An attack counts when it reaches this share of the strongest one around. */
const ATTACK_SHARE = 0.3;

/** Adds a tap; a tap earlier than the last one (the user went back) takes the place of those after it. */
export function addTap(taps: Tapping, time: Seconds, isDownbeat: boolean): Tapping {
  const before = (each: Seconds): boolean => each < time - SHORTEST;
  const again = taps.beats.find((each) => Math.abs(each - time) <= SHORTEST);
  const own = again ?? time;
  const beats = [...taps.beats.filter(before), own];
  const downbeats = [...taps.downbeats.filter(before), ...(isDownbeat || taps.downbeats.includes(own) ? [own] : [])];
  return { beats, downbeats };
}

/**
 * The lock that the taps make: beats at exactly these times, moved to the attack within SNAP_RADIUS when `snap`; undefined
 * for fewer than two taps. `from` and `to` bound the map.
 */
export function tapLock(
  taps: Tapping,
  evidence: Evidence,
  options: { readonly snap: boolean; readonly from: Seconds; readonly to: Seconds },
): Extract<LockDraft, { kind: 'tap' }> | undefined {
  const place = (time: Seconds): Seconds => (options.snap ? nearestAttack(evidence, time) : time);
  const beats: Seconds[] = [];
  const downbeats: Seconds[] = [];
  for (const tap of taps.beats) {
    if (tap < options.from || tap >= options.to) continue;
    // Two taps may not fall on one attack: the second stays where it was tapped.
    const last = beats.at(-1) ?? -Infinity;
    const snapped = Math.min(Math.max(place(tap), options.from), options.to);
    const time = snapped > last + SHORTEST / 2 ? snapped : tap;
    if (time <= last) continue;
    beats.push(time);
    if (taps.downbeats.includes(tap)) downbeats.push(time);
  }
  return beats.length >= 2 ? { kind: 'tap', beats, downbeats } : undefined;
}

/**
 * The time of the strongest attack within SNAP_RADIUS, to a fraction of a frame (parabola through the peak and its
 * neighbours), or `time` itself where there is none worth the name.
 */
export function nearestAttack(evidence: Evidence, time: Seconds): Seconds {
  const { onset } = evidence.tracks;
  const strength = (frame: number): number => {
    if (frame < 0 || frame >= frameCount(onset)) return 0;
    let sum = 0;
    for (let band = 0; band < onset.width; band += 1) sum += onset.data[frame * onset.width + band] ?? 0;
    return sum;
  };
  const first = Math.ceil((time - SNAP_RADIUS) * onset.rate);
  const last = Math.floor((time + SNAP_RADIUS) * onset.rate);
  let best = -1;
  for (let frame = first; frame <= last; frame += 1) {
    const here = strength(frame);
    if (here <= 0 || here < strength(frame - 1) || here < strength(frame + 1)) continue;
    if (best < 0 || here > strength(best)) best = frame;
  }
  if (best < 0) return time;
  let around = 0;
  const reach = Math.round(onset.rate);
  for (let frame = best - reach; frame <= best + reach; frame += 1) around = Math.max(around, strength(frame));
  if (strength(best) < ATTACK_SHARE * around) return time;
  const [a, b, c] = [strength(best - 1), strength(best), strength(best + 1)];
  const curve = a - 2 * b + c;
  const shift = curve < 0 ? Math.min(0.5, Math.max(-0.5, (0.5 * (a - c)) / curve)) : 0;
  return Math.max(0, (best + shift) / onset.rate);
}
