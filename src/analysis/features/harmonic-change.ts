import { spectrometer } from '../../dsp/spectrum.js';
import type { Cents } from '../../music/units.js';
import { ANALYSIS_RATE } from '../signal.js';

const SIZE = 4096;
/** Spectra a second. */
const RATE = 20;
/** Steps of each of the two stretches that are compared: 0.6 s. */
const REACH = 12;

/**
 * How much the harmony differs between the 0.6 s before and after each moment, 0 to 1, `frames` values, `rate` a
 * second: one minus the cosine of the mean pitch class profiles (after Harte, Sandler & Gasser, "Detecting harmonic
 * change in musical audio", 2006, without their mapping to tonal space).
 */
export function harmonicChange(
  signal: Float32Array,
  tuning: Cents,
  rate: number,
  frames: number,
  tick: () => void,
): Float32Array {
  const profiles = pitchProfiles(signal, tuning, RATE, 80, 2000, tick);
  const count = profiles.length / 12;
  const sums = new Float64Array((count + 1) * 12);
  for (let i = 0; i < count * 12; i++) sums[i + 12] = (sums[i] as number) + (profiles[i] as number);
  const change = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const from = Math.max(0, i - REACH);
    const to = Math.min(count, i + REACH);
    let [dot, a2, b2] = [0, 0, 0];
    for (let k = 0; k < 12; k++) {
      const a = (sums[i * 12 + k] as number) - (sums[from * 12 + k] as number);
      const b = (sums[to * 12 + k] as number) - (sums[i * 12 + k] as number);
      dot += a * b;
      a2 += a * a;
      b2 += b * b;
    }
    change[i] = a2 > 0 && b2 > 0 ? 1 - dot / Math.sqrt(a2 * b2) : 0;
  }
  const out = new Float32Array(frames);
  for (let i = 0; i < frames; i++) {
    const at = Math.min(count - 1, (i / rate) * RATE);
    const low = Math.floor(at);
    const a = change[low] as number;
    const b = change[Math.min(count - 1, low + 1)] as number;
    out[i] = Math.min(1, 1.5 * (a + (b - a) * (at - low)));
  }
  return out;
}

/** Pitch class profiles from C, `rate` a second, 12 values each, of the partials between `low` and `high` Hz. */
export function pitchProfiles(
  signal: Float32Array,
  tuning: Cents,
  rate: number,
  low: number,
  high: number,
  tick: () => void = () => undefined,
): Float32Array {
  const { at, bins } = spectrometer(SIZE);
  const classOf = new Int8Array(bins).fill(-1);
  const weight = new Float32Array(bins);
  for (let k = 1; k < bins; k++) {
    const hertz = (k * ANALYSIS_RATE) / SIZE;
    if (hertz < low || hertz > high) continue;
    const pitch = 69 + 12 * Math.log2(hertz / 440) - tuning / 100;
    classOf[k] = ((Math.round(pitch) % 12) + 12) % 12;
    weight[k] = Math.cos((pitch - Math.round(pitch)) * Math.PI) ** 2;
  }
  const count = Math.max(1, Math.floor((signal.length / ANALYSIS_RATE) * rate) + 1);
  const out = new Float32Array(count * 12);
  for (let i = 0; i < count; i++) {
    const magnitudes = at(signal, (i * ANALYSIS_RATE) / rate);
    for (let k = 1; k < bins; k++) {
      const c = classOf[k] as number;
      if (c >= 0)
        out[i * 12 + c] = (out[i * 12 + c] as number) + (weight[k] as number) * Math.sqrt(magnitudes[k] as number);
    }
    if (i % 64 === 0) tick();
  }
  return out;
}
