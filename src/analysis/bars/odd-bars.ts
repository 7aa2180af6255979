import { beatStartsOf, beatsOf, type Meter } from '../../music/meter.js';
import type { Pulse } from '../beats/pulse.js';
import { attackNear } from '../beats/attack.js';
import type { Track } from '../evidence/evidence.js';
import { includesTime, type RhythmLocks } from '../locks/rhythm-locks.js';
import { regionAt, type SongPlan } from '../meter/song-plan.js';

/** A bar whose beats do not lie on the grid around it, laid out by itself. */
export interface LaidBar {
  /** Starts of its beats, the first exactly where the lock says. */
  readonly beats: readonly number[];
  readonly end: number;
  readonly meter: Meter;
}

/** How far, as a share of one beat, a locked time may lie from the bar's end and still be it. */
const NEAR_END = 0.45;
/** Beats spread over less or more of their usual time than this are no reading of the bar: then the locks clash. */
const LEAST_SHARE = 0.6;
const MOST_SHARE = 1.7;
/** Lengths tried around the expected one. */
const SCALES = [1, 0.97, 1.03, 0.94, 1.06, 0.91, 1.09];

/**
 * Lays out the bars of locked length that the grid cannot hold: with half a beat at the end, or with another kind of
 * beat (6/8 among 4/4, its eighths as long as theirs). With `all`, also every bar of locked length that has to end on
 * a locked bar line, its beats spread evenly between: that way counts hold that the sound speaks against.
 */
export function layOutBars(
  locks: RhythmLocks,
  plan: SongPlan,
  pulse: Pulse,
  beatTrack: Track,
  all: boolean,
): LaidBar[] {
  const lines = [...locks.downbeats, ...locks.lengths.map(({ time }) => time)].sort((a, b) => a - b);
  const laid: LaidBar[] = [];
  for (const { time, meter } of locks.lengths) {
    const region = regionAt(plan, time);
    const usual = region.meter;
    const ratio = meter.beatUnits / meter.unit / (usual.beatUnits / usual.unit);
    const points = beatsOf(meter) * region.grid;
    const fits = Math.abs(ratio - 1) < 1e-9 && Number.isInteger(points);
    const frame = Math.max(0, Math.min(pulse.frames - 1, Math.round(time * pulse.rate)));
    const beat = ((plan.curve[frame] as number) / pulse.rate) * region.grid * ratio;
    const length = beatsOf(meter) * beat;
    const line = lines.find(
      (other) => other > time + 1e-6 && other - time > LEAST_SHARE * length && other - time < MOST_SHARE * length,
    );
    if (fits && (!all || line === undefined)) continue;
    const near = (other: number): boolean => Math.abs(other - time - length) < NEAR_END * beat;
    const end = all && line !== undefined ? line : (lines.find(near) ?? locks.beats.find(near));
    const whole = end !== undefined ? end - time : length * bestScale(pulse, time, meter, beat);
    const beats = spread(time, whole, meter, locks.beats).map((t) =>
      includesTime(locks.beats, t) ? t : attackNear(t, beatTrack, 0.03),
    );
    laid.push({ beats, end: end ?? attackNear(time + whole, beatTrack, 0.03), meter });
  }
  return laid;
}

/** Of a few lengths, the one whose beats and end lie on the strongest attacks. */
function bestScale(pulse: Pulse, time: number, meter: Meter, beat: number): number {
  let best = -Infinity;
  let arg = 1;
  for (const scale of SCALES) {
    let sum = -20 * Math.abs(scale - 1);
    for (let k = 1; k < beatStartsOf(meter); k++) sum += worthAt(pulse, time + k * beat * scale);
    sum += 2 * worthAt(pulse, time + beatsOf(meter) * beat * scale);
    if (sum > best) {
      best = sum;
      arg = scale;
    }
  }
  return arg;
}

function worthAt(pulse: Pulse, time: number): number {
  return pulse.worth[Math.round(time * pulse.rate)] ?? 0;
}

/** The bar's beats over `whole` seconds: evenly between the locked beats inside, each of which takes the nearest place. */
function spread(time: number, whole: number, meter: Meter, locked: readonly number[]): number[] {
  const total = beatsOf(meter);
  const starts = beatStartsOf(meter);
  const anchors = [{ place: 0, time }];
  for (const beat of locked) {
    if (beat <= time + 1e-6 || beat >= time + whole - 1e-6) continue;
    const place = Math.round(((beat - time) / whole) * total);
    const last = anchors[anchors.length - 1] as { place: number };
    if (place > last.place && place < starts) anchors.push({ place, time: beat });
  }
  anchors.push({ place: total, time: time + whole });
  const beats: number[] = [];
  for (let a = 0; a + 1 < anchors.length; a++) {
    const [from, to] = [
      anchors[a] as { place: number; time: number },
      anchors[a + 1] as { place: number; time: number },
    ];
    for (let k = from.place; k < to.place && beats.length < starts; k++) {
      beats.push(from.time + ((to.time - from.time) * (k - from.place)) / (to.place - from.place));
    }
  }
  return beats;
}

/** The locks with the laid-out bars' beats and lines among what must be, and nothing else inside them. */
export function withLaidBars(locks: RhythmLocks, laid: readonly LaidBar[]): RhythmLocks {
  if (laid.length === 0) return locks;
  const add = (times: readonly number[], more: readonly number[]): number[] => {
    const fresh = more.filter((time) => !includesTime(times, time));
    return [...times, ...fresh]
      .sort((a, b) => a - b)
      .filter((time, i, all) => i === 0 || time - (all[i - 1] as number) > 1e-6);
  };
  const inside = (time: number): boolean => time < locks.end - 1e-6;
  const ends = laid.map(({ end }) => end).filter(inside);
  return {
    ...locks,
    beats: add(locks.beats, [...laid.flatMap(({ beats }) => beats.filter(inside)), ...ends]),
    downbeats: add(locks.downbeats, ends),
    noBeats: [...locks.noBeats, ...laid.map(({ beats, end }) => ({ from: beats[0] as number, to: end }))],
  };
}
