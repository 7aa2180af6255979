import type { SpectralPeaks } from '../../../dsp/spectral-peaks.js';
import type { Cents } from '../../../music/units.js';

/** Seconds of each of the two stretches that are compared. */
const REACH = 0.6;
/** MIDI numbers between which partials count: 80 to 2000 Hz. */
const LOWEST = 39.5;
const HIGHEST = 95.2;

/**
 * How much the harmony differs between the 0.6 s before and after each moment, 0 to 1, `frames` values, `rate` a
 * second: one minus the cosine of the mean pitch class profiles (after Harte, Sandler & Gasser, "Detecting harmonic
 * change in musical audio", 2006, without their mapping to tonal space). `peaks` has `peakRate` frames a second.
 */
export function harmonicChange(
  peaks: SpectralPeaks,
  peakRate: number,
  tuning: Cents,
  rate: number,
  frames: number,
): Float32Array {
  const count = peaks.frames;
  const sums = profileSums(peaks, tuning);
  const reach = Math.round(REACH * peakRate);
  const change = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const from = Math.max(0, i - reach);
    const to = Math.min(count, i + reach);
    let dot = 0;
    let a2 = 0;
    let b2 = 0;
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
    const at = Math.min(count - 1, (i / rate) * peakRate);
    const low = Math.floor(at);
    const a = change[low] as number;
    const b = change[Math.min(count - 1, low + 1)] as number;
    out[i] = Math.min(1, SCALE * (a + (b - a) * (at - low)));
  }
  return out;
}

/** Running sums of the frames' pitch class profiles from C; the first is of none. */
function profileSums(peaks: SpectralPeaks, tuning: Cents): Float64Array {
  const { frames, starts, pitches, magnitudes } = peaks;
  const sums = new Float64Array((frames + 1) * 12);
  for (let i = 0; i < frames; i++) {
    const row = (i + 1) * 12;
    for (let k = 0; k < 12; k++) sums[row + k] = sums[row - 12 + k] as number;
    for (let p = starts[i] as number; p < (starts[i + 1] as number); p++) {
      const pitch = pitches[p] as number;
      if (pitch < LOWEST || pitch > HIGHEST) continue;
      const note = pitch - tuning / 100;
      const nearest = Math.round(note);
      const near = Math.cos((note - nearest) * Math.PI);
      const at = row + (((nearest % 12) + 12) % 12);
      sums[at] = (sums[at] as number) + near * near * Math.sqrt(magnitudes[p] as number);
    }
  }
  return sums;
}

/** Brings ordinary changes of chord to about 1. */
const SCALE = 1.15;
