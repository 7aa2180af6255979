import { movingMean, movingMedian } from '../../dsp/series.js';
import type { Pulse } from './pulse.js';

/** How far, as a ratio, the tempo may wander from where the search began. */
const REACH = 1.22;
/** Standard deviation of the log ratio of neighbouring beat lengths, and where its cost turns linear. */
const JITTER = 0.025;
const KNEE = 2.5;
/** Weight of the pulse against the tempo's steadiness. */
const PULSE_WEIGHT = 0.5;

/** Beats longer than this many frames are tracked at half the rate: the time this takes grows with the cube of the rate. */
const COARSE_FROM = 60;

/** A path of beats through the song at one level. */
export interface BeatPath {
  /** Frames of the beats, ascending. */
  readonly frames: Int32Array;
  /** Beat length at every frame of the pulse, in frames, smoothed. */
  readonly period: Float32Array;
}

/**
 * The best sequence of beats whose lengths stay near `period` (in frames) and change smoothly: Viterbi over (time of the
 * beat, length of the beat before it), the state space of Krebs, Böck & Widmer, "An efficient state-space model for
 * joint tempo and meter tracking", ISMIR 2015, visited only where beats end.
 */
export function trackTempo(pulse: Pulse, period: number): BeatPath {
  if (period <= COARSE_FROM) return trackFinely(pulse, period);
  const { frames } = trackFinely(halved(pulse), period / 2);
  const whole = frames.map((frame) => finest(pulse.worth, 2 * frame));
  return { frames: whole, period: periodCurve(whole, pulse.frames, period) };
}

/** The same pulse at half the rate, each frame worth the better of two. */
function halved(pulse: Pulse): Pulse {
  const frames = pulse.frames >> 1;
  const worth = Float32Array.from({ length: frames }, (_, i) =>
    Math.max(pulse.worth[2 * i] as number, pulse.worth[2 * i + 1] as number),
  );
  const last = Math.max(0, Math.min(frames - 1, pulse.last >> 1));
  return { rate: pulse.rate / 2, frames, worth, first: Math.min(last, pulse.first >> 1), last };
}

/** The better of two neighbouring frames. */
function finest(worth: Float32Array, frame: number): number {
  return (worth[frame + 1] ?? -Infinity) > (worth[frame] as number) ? frame + 1 : frame;
}

function trackFinely(pulse: Pulse, period: number): BeatPath {
  const shortest = Math.max(4, Math.floor(period / REACH));
  const longest = Math.ceil(period * REACH);
  const width = longest - shortest + 1;
  const { first, last, worth } = pulse;
  const count = last - first + 1;
  const cost = transitionCosts(shortest, width);
  const score = new Float32Array(count * width);
  const best = new Float32Array(count * width);
  const from = new Int16Array(count * width);
  for (let t = 0; t < count; t++) {
    const here = PULSE_WEIGHT * (worth[first + t] as number);
    const row = t * width;
    for (let p = 0; p < width; p++) {
      const before = t - (p + shortest);
      score[row + p] = here + (before >= 0 ? (best[before * width + p] as number) : 0);
    }
    for (let p = 0; p < width; p++) {
      let top = -Infinity;
      let arg = p;
      const costs = cost[p] as { offset: number; values: Float32Array };
      for (let k = 0; k < costs.values.length; k++) {
        const value = (score[row + costs.offset + k] as number) - (costs.values[k] as number);
        if (value > top) {
          top = value;
          arg = costs.offset + k;
        }
      }
      best[row + p] = top;
      from[row + p] = arg;
    }
  }
  const frames = readBack(score, from, count, width, shortest, first);
  return { frames, period: periodCurve(frames, pulse.frames, period) };
}

function transitionCosts(shortest: number, width: number): { offset: number; values: Float32Array }[] {
  const rows: { offset: number; values: Float32Array }[] = [];
  for (let p = 0; p < width; p++) {
    const most = Math.ceil((p + shortest) * 0.15);
    const offset = Math.max(0, p - most);
    const end = Math.min(width - 1, p + most);
    const values = new Float32Array(end - offset + 1);
    for (let q = offset; q <= end; q++) {
      const z = Math.abs(Math.log((p + shortest) / (q + shortest))) / JITTER;
      values[q - offset] = z <= KNEE ? 0.5 * z * z : KNEE * z - 0.5 * KNEE * KNEE;
    }
    rows.push({ offset, values });
  }
  return rows;
}

function readBack(
  score: Float32Array,
  from: Int16Array,
  count: number,
  width: number,
  shortest: number,
  first: number,
): Int32Array {
  let top = -Infinity;
  let t = count - 1;
  let p = 0;
  for (let end = Math.max(0, count - shortest - width); end < count; end++) {
    for (let q = 0; q < width; q++) {
      const value = score[end * width + q] as number;
      if (value > top) {
        top = value;
        t = end;
        p = q;
      }
    }
  }
  const beats: number[] = [];
  while (t >= 0) {
    beats.push(first + t);
    const before = t - (p + shortest);
    if (before < 0) break;
    p = from[before * width + p] as number;
    t = before;
  }
  return Int32Array.from(beats.reverse());
}

/** Beat length at each of `count` frames from the beats' frames: median of five, mean of five, straight lines between. */
export function periodCurve(beats: ArrayLike<number>, count: number, fallback: number): Float32Array {
  const curve = new Float32Array(count).fill(fallback);
  if (beats.length < 3) return curve;
  const intervals = new Float32Array(beats.length - 1);
  for (let i = 0; i < intervals.length; i++) intervals[i] = (beats[i + 1] as number) - (beats[i] as number);
  const smooth = movingMean(movingMedian(intervals, 2), 2);
  let i = 0;
  for (let t = 0; t < count; t++) {
    while (i + 2 < beats.length && (beats[i + 1] as number) <= t) i++;
    const middle = ((beats[i] as number) + (beats[i + 1] as number)) / 2;
    const next = t < middle ? i - 1 : i + 1;
    const a = smooth[i] as number;
    const b = smooth[Math.max(0, Math.min(smooth.length - 1, next))] as number;
    const share = Math.min(0.5, Math.abs(t - middle) / ((beats[i + 1] as number) - (beats[i] as number)));
    curve[t] = a + (b - a) * share;
  }
  return curve;
}
