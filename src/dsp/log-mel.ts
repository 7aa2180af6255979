import { slaneyFilterBank } from './filter-bank.js';
import { spectrometer } from './spectrum.js';

/** What the rhythm network hears: these numbers are those of its training (src/analysis/training/network.py). */
export const MEL_BANDS = 80;
export const MEL_RATE = 50;
const SIZE = 1024;
const SIGNAL_RMS = 0.1;
const MEL_RMS = 0.02;
const COMPRESSION = 300;

/**
 * Log-compressed mel spectrogram of a mono signal at `sampleRate` (22050): frame i is centred on i / MEL_RATE s,
 * `data[i * MEL_BANDS + band]`, 80 bands from 30 Hz to 10 kHz, the whole song brought to one level first.
 */
export function logMel(
  signal: Float32Array,
  sampleRate: number,
  report: (done: number) => void = () => undefined,
): { readonly frames: number; readonly data: Float32Array } {
  const hop = sampleRate / MEL_RATE;
  const frames = Math.floor(signal.length / hop) + 1;
  const data = new Float32Array(frames * MEL_BANDS);
  const spectra = spectrometer(SIZE);
  const bank = slaneyFilterBank(SIZE, sampleRate, 30, 10_000, MEL_BANDS);
  const gain = SIGNAL_RMS / Math.max(1e-6, rms(signal));
  let power = 0;
  for (let i = 0; i < frames; i++) {
    const frame = data.subarray(i * MEL_BANDS, (i + 1) * MEL_BANDS);
    bank.apply(spectra.at(signal, i * hop), frame);
    for (let b = 0; b < MEL_BANDS; b++) {
      const value = (frame[b] as number) * gain;
      frame[b] = value;
      power += value * value;
    }
    if (i % 500 === 0) report(i / frames);
  }
  const scale = (COMPRESSION * MEL_RMS) / Math.max(1e-7, Math.sqrt(power / data.length));
  for (let i = 0; i < data.length; i++) data[i] = Math.log1p((data[i] as number) * scale);
  return { frames, data };
}

function rms(signal: Float32Array): number {
  let power = 0;
  for (const value of signal) power += value * value;
  return Math.sqrt(power / Math.max(1, signal.length));
}
