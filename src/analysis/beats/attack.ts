import { median } from '../../dsp/series.js';
import { memoryOf, mostAlike, remember, type Remembered } from '../sections/common-ends.js';
import type { Track } from '../evidence/evidence.js';
import type { FoundBeat } from './grid.js';

/** How far, in seconds, a beat may move to its attack. */
const REACH = 0.035;
/** Beats on each side that tell where one is expected. */
const SIDE = 4;
/** Neighbours whose intervals differ by more than this share do not tell. */
const UNEVEN = 0.12;
/** Fewer readings of the neighbours than this tell nothing. */
const FEWEST = 3;
/** How far, in seconds, an attack may lie from where its neighbours expect it, or so many times what is usual around it. */
const NEAR = 0.01;
const USUAL = 2;
/** Beats on each side that tell what is usual. */
const AROUND = 8;
/** Twice, because a beat that is off misleads its neighbours. */
const ROUNDS = 2;

/** How many beats away, at most, something can lie that has a say in where a beat goes. */
const FURTHEST = ROUNDS * (AROUND + 2 * (SIDE - 1));

const known = new WeakMap<Track, Remembered<FoundBeat, readonly number[]>>();

/**
 * Moves each beat that no lock holds onto the attack within 35 ms: the top of the parabola through the largest value of
 * the beat track and its neighbours. Where there is no clear attack, or only one that fits ill with the beats around it
 * (an ornament, another player), the beat goes where those expect it. Beats far from any that differ from a list asked
 * about before are looked up.
 */
export function snapToAttacks(beats: readonly FoundBeat[], track: Track): FoundBeat[] {
  const memory = memoryOf(known, track);
  const near = mostAlike(memory, beats, (a, b) => a.time === b.time && a.exact === b.exact);
  const head = Math.max(0, (near?.head ?? 0) - FURTHEST);
  const tail = Math.max(0, (near?.tail ?? 0) - FURTHEST);
  const times: number[] = [];
  if (near && near.head === beats.length && near.list.length === beats.length) times.push(...near.answer);
  else if (!near || head + tail === 0) times.push(...snapped(beats, track));
  else {
    const [from, to] = [Math.max(0, head - FURTHEST), beats.length - Math.max(0, tail - FURTHEST)];
    const fresh = snapped(beats.slice(from, to), track);
    times.push(...near.answer.slice(0, head), ...fresh.slice(head - from, beats.length - tail - from));
    times.push(...near.answer.slice(near.answer.length - tail));
  }
  remember(memory, beats, times);
  return beats.map(({ exact }, i) => ({ time: times[i] as number, exact }));
}

function snapped(beats: readonly FoundBeat[], track: Track): readonly number[] {
  let times = beats.map((beat) => (beat.exact ? beat.time : attackNear(beat.time, track, REACH)));
  for (let round = 0; round < ROUNDS; round++) {
    const before = times;
    const expected = before.map((_, i) => expectedAt(before, i));
    const off = new Float64Array(before.length);
    before.forEach((time, i) => (off[i] = Math.abs(time - (expected[i] ?? time))));
    times = before.map((time, i) => {
      const { exact, time: found } = beats[i] as FoundBeat;
      const place = expected[i];
      if (exact || place === undefined || Math.abs(place - found) > REACH) return time;
      const usual = median(off.subarray(Math.max(0, i - AROUND), i + AROUND + 1));
      const near = Math.max(NEAR, Math.min(USUAL * usual, REACH - Math.abs(place - found)));
      return Math.abs(time - place) <= near ? time : attackNear(place, track, near);
    });
  }
  return times;
}

/**
 * Where the beats around beat `i` expect it: the median of the middles between those as far before as after (middles do
 * not mind an even change of tempo), at the ends of what their only side leads to. Not where beats change their length.
 */
function expectedAt(times: readonly number[], i: number): number | undefined {
  const here = times[i] as number;
  const places: number[] = [];
  const even = (left: number, right: number, beats: number): boolean =>
    Math.abs(left - right) * beats <= UNEVEN * Math.min(left, right);
  for (let k = 1; k <= SIDE; k++) {
    const [before, after] = [times[i - k], times[i + k]];
    if (before === undefined || after === undefined) break;
    if (!even(here - before, after - here, k)) return places.length < FEWEST ? undefined : median(places);
    places.push((before + after) / 2);
  }
  if (places.length >= FEWEST) return median(places);
  for (const side of [-1, 1]) {
    for (let k = 1; k < SIDE; k++) {
      const [near, far] = [times[i + side * k], times[i + 2 * side * k]];
      if (near === undefined || far === undefined || !even(Math.abs(near - here), Math.abs(far - near), k)) break;
      places.push(2 * near - far);
    }
  }
  return places.length < FEWEST ? undefined : median(places);
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
