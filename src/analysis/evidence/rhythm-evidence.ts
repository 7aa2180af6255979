import { attackSums, attackTime } from '../../dsp/attack-time.js';
import type { Onsets } from '../../dsp/onset.js';
import { meanAndDeviation, movingMean, quantile } from '../../dsp/series.js';
import { ONSET_BANDS, type Evidence, type Track } from './evidence.js';
import { ANALYSIS_RATE } from './signal.js';

/** Frames a second of the rhythm tracks. */
export const RHYTHM_RATE = 100;

export type RhythmTracks = Pick<Evidence['tracks'], 'beat' | 'downbeat' | 'onset' | 'level'>;

/**
 * Frame-wise evidence of the rhythm, RHYTHM_RATE frames a second, from the signal's onsets at that rate and the change of
 * its harmony at each of their frames (0 to 1).
 *
 * beat: how much of an attack there is, all bands together; downbeat: attacks in the low band and changes of harmony;
 * onset: attacks by band; level: loudness. Peaks of `beat` lie on the attacks.
 */
export function rhythmTracks(signal: Float32Array, onsets: Onsets, change: Float32Array): RhythmTracks {
  const beat = onAttacks(attackStrength(onsets), signal);
  const low = onsets.bands[0] as Float32Array;
  const lowTop = quantile(low, 0.999) || 1;
  const downbeat = new Float32Array(onsets.frames);
  for (let i = 0; i < onsets.frames; i++) {
    downbeat[i] = 0.4 * Math.min(1, (low[i] as number) / lowTop) + 0.6 * (change[i] as number);
  }
  return {
    beat: track(1, [beat]),
    downbeat: track(1, [downbeat]),
    onset: track(
      ONSET_BANDS,
      onsets.bands.map((band) => {
        const top = quantile(band, 0.999) || 1;
        return band.map((value) => value / top);
      }),
    ),
    level: loudness(signal, onsets.frames),
  };
}

/** All bands together, each scaled to its own spread, evened out over 8 s, 0 to 1. */
function attackStrength(onsets: Onsets): Float32Array {
  const sum = new Float32Array(onsets.frames);
  for (const band of onsets.bands) {
    const { mean, deviation } = meanAndDeviation(band);
    const scale = 1 / (deviation + 0.3 * mean + 1e-6);
    for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] as number) + Math.min(5, (band[i] as number) * scale);
  }
  const power = movingMean(
    sum.map((x) => x * x),
    4 * onsets.rate,
  );
  const floor = 0.3 * Math.sqrt(meanAndDeviation(power).mean) + 1e-6;
  return sum.map((x, i) => Math.min(1, x / (4 * (Math.sqrt(power[i] as number) + floor))));
}

/** Where, in seconds from a peak of the flux, its attack can lie: the flux sees loud attacks coming. */
const EARLIEST = -0.006;
const LATEST = 0.034;
/** Half width in frames of the bump that stands for an attack. */
const BUMP = 1.6;

/**
 * The same strength with its peaks moved onto the attacks they come from: bumps whose top (the parabola through the
 * largest value and its neighbours) is the attack's time to a fraction of a frame.
 */
function onAttacks(strength: Float32Array, signal: Float32Array): Float32Array {
  const sums = attackSums(signal, ANALYSIS_RATE);
  const out = new Float32Array(strength.length);
  for (let i = 1; i + 1 < strength.length; i++) {
    const value = strength[i] as number;
    if (value < 0.02 || value < (strength[i - 1] as number) || value <= (strength[i + 1] as number)) continue;
    const time = i / RHYTHM_RATE;
    const centre = attackTime(sums, time + EARLIEST, time + LATEST) * RHYTHM_RATE;
    for (let k = Math.max(0, Math.ceil(centre - BUMP)); k <= Math.min(out.length - 1, centre + BUMP); k++) {
      const shape = value * (1 - ((k - centre) / BUMP) ** 2);
      if (shape > (out[k] as number)) out[k] = shape;
    }
  }
  return out;
}

function loudness(signal: Float32Array, frames: number): Track {
  const hop = ANALYSIS_RATE / RHYTHM_RATE;
  const values = new Float32Array(frames);
  for (let i = 0; i < frames; i++) {
    const from = Math.max(0, Math.round((i - 1) * hop));
    const to = Math.min(signal.length, Math.round((i + 1) * hop));
    let sum = 0;
    for (let k = from; k < to; k++) sum += (signal[k] as number) ** 2;
    const decibel = to > from && sum > 0 ? 10 * Math.log10(sum / (to - from)) : -90;
    values[i] = (decibel + 90) / 90;
  }
  return track(1, [values]);
}

/** Packs columns of values from 0 to 1. */
function track(width: number, columns: readonly Float32Array[]): Track {
  const frames = columns[0]?.length ?? 0;
  const data = new Uint8Array(frames * width);
  columns.forEach((column, k) => {
    for (let i = 0; i < frames; i++)
      data[i * width + k] = Math.round(255 * Math.max(0, Math.min(1, column[i] as number)));
  });
  return { rate: RHYTHM_RATE, width, data };
}
