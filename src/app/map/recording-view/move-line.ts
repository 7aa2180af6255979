import { beatTimes } from '../../../model/map-queries.js';
import type { Seconds } from '../../../music/units.js';
import type { OpenSong } from '../../kit/session.js';
import { nearestAttack } from '../taps.js';
import { xToTime, type Scale } from './time-scale.js';

/** A line dragged this near to an attack, in CSS pixels, goes to it: closer up the same reach is less time. */
const SNAP = 6;
/** What must stay between two beats, in seconds. */
const GAP: Seconds = 0.1;

/** Where the beat at `from` lands when it is dragged to `x`: between its neighbours, on an attack that is near. */
export function moveTo(song: Pick<OpenSong, 'map' | 'evidence'>, scale: Scale, from: Seconds, x: number): Seconds {
  const beats = beatTimes(song.map);
  const place = beats.indexOf(from);
  const low = Math.max(song.map.start, (beats[place - 1] ?? -Infinity) + GAP);
  const high = Math.min(song.map.end - GAP, (beats[place + 1] ?? Infinity) - GAP);
  const wanted = xToTime(scale, x);
  const attack = nearestAttack(song.evidence, wanted);
  const near = (Math.abs(attack - wanted) / scale.span) * scale.width <= SNAP;
  return Math.min(Math.max(near ? attack : wanted, Math.min(low, from)), Math.max(high, from));
}
