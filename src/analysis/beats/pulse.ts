import { meanAndDeviation, quantile } from '../../dsp/series.js';
import { frameCount, type Evidence } from '../evidence.js';

/** The beat track made ready for tracking. */
export interface Pulse {
  readonly rate: number;
  readonly frames: number;
  /** What a beat at each frame is worth: mean 0 and deviation 1 over the sounding part. */
  readonly worth: Float32Array;
  /** First and last sounding frame. */
  readonly first: number;
  readonly last: number;
}

/** Decibels below the loud parts (95th percentile) that still count as sounding. */
const QUIET = 45;

export function pulseOf(evidence: Evidence): Pulse {
  const { beat, level } = evidence.tracks;
  const frames = frameCount(beat);
  const loud = level.data.length > 0 ? quantile(level.data, 0.95) : 0;
  const least = Math.max(1, loud - (QUIET * 255) / 90);
  let first = 0;
  let last = frames - 1;
  const levelAt = (i: number): number => level.data[Math.round((i * level.rate) / beat.rate) * level.width] ?? 0;
  while (first < last && levelAt(first) < least) first++;
  while (last > first && levelAt(last) < least) last--;
  const { mean, deviation } = meanAndDeviation(beat.data.subarray(first, last + 1));
  const worth = new Float32Array(frames);
  const scale = 1 / (deviation + 1e-6);
  for (let i = 0; i < frames; i++) {
    const here = beat.data[i] as number;
    const near = 0.7 * Math.max(beat.data[i - 1] ?? 0, beat.data[i + 1] ?? 0);
    worth[i] = deviation > 0 ? (Math.max(here, near) - mean) * scale : 0;
  }
  return { rate: beat.rate, frames, worth, first, last };
}
