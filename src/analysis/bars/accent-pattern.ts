import { meanAndDeviation } from '../../dsp/series.js';
import { ACCENTS, type BeatFeatures } from '../evidence/features/beat-features.js';

/** Numbers a beat that the pattern describes: its accents and the changes of chord and bass. */
export const PATTERN_SIZE = ACCENTS + 2;

/** A beat's numbers scaled so that each has mean 0 and deviation 1 over the song. */
export interface ScaledBeats {
  readonly count: number;
  readonly values: Float32Array;
}

/** Mean and scale of each number, from the song's own beats. */
export interface PatternScale {
  readonly mean: Float32Array;
  readonly scale: Float32Array;
}

/** What a bar of this song sounds like: `means[k * PATTERN_SIZE + d]` for beat k of the bar. */
export interface AccentPattern {
  readonly beats: number;
  readonly means: Float32Array;
  /** Spread of each number around its mean. */
  readonly deviation: Float32Array;
}

export function patternScale(features: BeatFeatures): PatternScale {
  const mean = new Float32Array(PATTERN_SIZE);
  const scale = new Float32Array(PATTERN_SIZE);
  const column = new Float32Array(features.count);
  for (let d = 0; d < PATTERN_SIZE; d++) {
    for (let i = 0; i < features.count; i++) column[i] = rawValue(features, i, d);
    const moments = meanAndDeviation(column);
    mean[d] = moments.mean;
    scale[d] = moments.deviation > 1e-4 ? 1 / moments.deviation : 0;
  }
  return { mean, scale };
}

export function scaleBeats(features: BeatFeatures, { mean, scale }: PatternScale): ScaledBeats {
  const values = new Float32Array(features.count * PATTERN_SIZE);
  for (let i = 0; i < features.count; i++) {
    for (let d = 0; d < PATTERN_SIZE; d++) {
      const value = (rawValue(features, i, d) - (mean[d] as number)) * (scale[d] as number);
      values[i * PATTERN_SIZE + d] = Math.max(-3, Math.min(3, value));
    }
  }
  return { count: features.count, values };
}

function rawValue(features: BeatFeatures, i: number, d: number): number {
  if (d < ACCENTS) return Math.sqrt(features.accents[i * ACCENTS + d] as number);
  return Math.sqrt((d === ACCENTS ? features.chordChange : features.bassChange)[i] as number);
}

/** Spread that even a machine's bars are given, and the most, in nats, that one beat's fit can say. */
const LEAST_SPREAD = 0.4;
const MOST_GAIN = 25;

/** The mean bar over the bars that begin at `nodes` (last entry: end) and have `beats` beats. */
export function learnPattern(scaled: ScaledBeats, nodes: readonly number[], beats: number): AccentPattern {
  const means = new Float32Array(beats * PATTERN_SIZE);
  const squares = new Float32Array(PATTERN_SIZE);
  let bars = 0;
  for (let b = 0; b + 1 < nodes.length; b++) {
    const from = nodes[b] as number;
    if ((nodes[b + 1] as number) - from !== beats) continue;
    bars++;
    for (let k = 0; k < beats * PATTERN_SIZE; k++) {
      means[k] = (means[k] as number) + (scaled.values[from * PATTERN_SIZE + k] as number);
    }
  }
  // Two bars' worth of "no pattern" keep a handful of bars from being learnt by heart.
  for (let k = 0; k < means.length; k++) means[k] = (means[k] as number) / (bars + 2);
  for (let b = 0; b + 1 < nodes.length; b++) {
    const from = nodes[b] as number;
    if ((nodes[b + 1] as number) - from !== beats) continue;
    for (let k = 0; k < beats * PATTERN_SIZE; k++) {
      const d = k % PATTERN_SIZE;
      squares[d] =
        (squares[d] as number) + ((scaled.values[from * PATTERN_SIZE + k] as number) - (means[k] as number)) ** 2;
    }
  }
  const deviation = squares.map((sum) => Math.max(LEAST_SPREAD, Math.sqrt((sum + 2 * beats) / ((bars + 2) * beats))));
  return { beats, means, deviation };
}

/**
 * `gain[i * beats + k]`: how much better beat i is explained as beat k of the bar than as any beat, in nats for one
 * number that counts fully.
 */
export function patternGain(scaled: ScaledBeats, pattern: AccentPattern): Float32Array {
  const { beats, means, deviation } = pattern;
  const gain = new Float32Array(scaled.count * beats);
  // (x^2 - (x - m)^2) / 2s^2 for each number, as x * slope + level.
  const slopes = new Float64Array(beats * PATTERN_SIZE);
  const levels = new Float64Array(beats);
  for (let at = 0; at < slopes.length; at++) {
    const k = Math.floor(at / PATTERN_SIZE);
    const m = means[at] as number;
    const s = deviation[at % PATTERN_SIZE] as number;
    slopes[at] = m / (s * s);
    levels[k] = (levels[k] as number) - (m * m) / (2 * s * s);
  }
  const { values } = scaled;
  for (let i = 0; i < scaled.count; i++) {
    for (let k = 0; k < beats; k++) {
      let sum = levels[k] as number;
      for (let d = 0; d < PATTERN_SIZE; d++)
        sum += (values[i * PATTERN_SIZE + d] as number) * (slopes[k * PATTERN_SIZE + d] as number);
      gain[i * beats + k] = Math.max(-MOST_GAIN, Math.min(MOST_GAIN, sum));
    }
  }
  return gain;
}
