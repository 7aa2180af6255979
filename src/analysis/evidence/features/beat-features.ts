import { memoryOf, mostAlike, remember, type Remembered } from '../../sections/common-ends.js';
import { frameCount, ONSET_BANDS, type Evidence, type Track } from '../evidence.js';
import { heardNear } from './heard.js';

/** What is known about each beat, for telling which beats begin bars. */
export interface BeatFeatures {
  readonly count: number;
  /** Attacks: `accents[(i * 2 + half) * ONSET_BANDS + band]`, on the beat (half 0) and half-way to the next (half 1), 0 to 1. */
  readonly accents: Float32Array;
  /** Change of harmony and of the bass notes between the beats before and after beat i, 0 to 1. */
  readonly chordChange: Float32Array;
  readonly bassChange: Float32Array;
  /** The downbeat track's activation at beat i, 0 to 1. */
  readonly downbeat: Float32Array;
  /** Log odds that the network gives beat i to be beat 1, -5 to 5; missing where it was not asked. */
  readonly heard?: Float32Array;
}

/** Numbers a beat in `accents`. */
export const ACCENTS = 2 * ONSET_BANDS;

/** Seconds either side of a beat in which an attack counts as on it. */
const NEAR = 0.03;

/** Seconds either side of a beat in which the network may hear it. */
export const HEARD_NEAR = 0.05;

/** A beat's features depend on no beat further away than this. */
const FURTHEST = 3;

const known = new WeakMap<Evidence, Remembered<number, BeatFeatures>>();

/**
 * Features of the beats at `times` (seconds, ascending); `after` is where the last beat ends. Beats far from any that differ
 * from a list asked about before are looked up.
 */
export function beatFeatures(evidence: Evidence, times: readonly number[], after: number): BeatFeatures {
  const memory = memoryOf(known, evidence);
  const list = [...times, after];
  const near = mostAlike(memory, list, (a, b) => a === b);
  const head = Math.max(0, (near?.head ?? 0) - FURTHEST);
  const tail = Math.max(0, (near?.tail ?? 0) - 1 - FURTHEST);
  let features: BeatFeatures;
  if (near && near.head === list.length && near.list.length === list.length) features = near.answer;
  else if (!near || head + tail === 0) features = featuresOf(evidence, times, after);
  else {
    const [from, to] = [Math.max(0, head - FURTHEST), times.length - Math.max(0, tail - FURTHEST)];
    const fresh = featuresOf(evidence, times.slice(from, to), times[to] ?? after);
    features = joined(near.answer, head, fresh, head - from, times.length - tail - head, tail);
  }
  remember(memory, list, features);
  return features;
}

/** The first `head` and the last `tail` beats of `old`, and between them `count` of `fresh` from `from` on. */
function joined(
  old: BeatFeatures,
  head: number,
  fresh: BeatFeatures,
  from: number,
  count: number,
  tail: number,
): BeatFeatures {
  const parts = (before: Float32Array, now: Float32Array, width = 1): Float32Array => {
    const out = new Float32Array((head + count + tail) * width);
    out.set(before.subarray(0, head * width));
    out.set(now.subarray(from * width, (from + count) * width), head * width);
    out.set(before.subarray(before.length - tail * width), (head + count) * width);
    return out;
  };
  return {
    count: head + count + tail,
    accents: parts(old.accents, fresh.accents, ACCENTS),
    chordChange: parts(old.chordChange, fresh.chordChange),
    bassChange: parts(old.bassChange, fresh.bassChange),
    downbeat: parts(old.downbeat, fresh.downbeat),
    ...(old.heard && fresh.heard && { heard: parts(old.heard, fresh.heard) }),
  };
}

function featuresOf(evidence: Evidence, times: readonly number[], after: number): BeatFeatures {
  const { onset, chroma, bass, downbeat, heardDownbeat } = evidence.tracks;
  const count = times.length;
  const accents = new Float32Array(count * ACCENTS);
  const down = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const time = times[i] as number;
    const next = times[i + 1] ?? after;
    for (let band = 0; band < ONSET_BANDS; band++) {
      accents[i * ACCENTS + band] = peakNear(onset, time, band);
      accents[i * ACCENTS + ONSET_BANDS + band] = peakNear(onset, (time + next) / 2, band);
    }
    down[i] = peakNear(downbeat, time, 0);
  }
  return {
    count,
    accents,
    chordChange: profileChange(chroma, times, after),
    bassChange: profileChange(bass, times, after),
    downbeat: down,
    ...(heardDownbeat && { heard: Float32Array.from(times, (time) => heardNear(heardDownbeat, time, HEARD_NEAR)) }),
  };
}

function peakNear(track: Track, time: number, column: number): number {
  const from = Math.max(0, Math.ceil((time - NEAR) * track.rate));
  const to = Math.min(frameCount(track) - 1, Math.floor((time + NEAR) * track.rate));
  let top = 0;
  for (let i = from; i <= to; i++) top = Math.max(top, track.data[i * track.width + column] as number);
  return top / 255;
}

/** One minus the cosine between the mean profiles of the one or two beats before and after; the larger of both. */
function profileChange(track: Track, times: readonly number[], after: number): Float32Array {
  const count = times.length;
  const width = track.width;
  const sums = beatMeans(track, times, after);
  const change = new Float32Array(count);
  for (let i = 1; i < count; i++) {
    let worst = 0;
    for (const reach of [1, 2]) {
      let [dot, a2, b2] = [0, 0, 0];
      for (let k = 0; k < width; k++) {
        let a = 0;
        let b = 0;
        for (let r = 0; r < reach; r++) {
          if (i - 1 - r >= 0) a += sums[(i - 1 - r) * width + k] as number;
          if (i + r < count) b += sums[(i + r) * width + k] as number;
        }
        dot += a * b;
        a2 += a * a;
        b2 += b * b;
      }
      if (a2 > 0 && b2 > 0) worst += 0.5 * (1 - dot / Math.sqrt(a2 * b2));
    }
    // Rounding can take a cosine past 1.
    change[i] = Math.max(0, worst);
  }
  return change;
}

/** Mean of the track's frames inside each beat, `width` numbers a beat; `after` is where the last beat ends. */
export function beatMeans(track: Track, times: readonly number[], after: number): Float32Array {
  const { width, rate, data } = track;
  const frames = frameCount(track);
  const sums = new Float32Array(times.length * width);
  for (let i = 0; i < times.length; i++) {
    const from = Math.max(0, Math.round((times[i] as number) * rate));
    const to = Math.min(frames, Math.max(from + 1, Math.round((times[i + 1] ?? after) * rate)));
    for (let t = from; t < to; t++) {
      for (let k = 0; k < width; k++) {
        sums[i * width + k] = (sums[i * width + k] as number) + (data[t * width + k] as number) / (to - from);
      }
    }
  }
  return sums;
}
