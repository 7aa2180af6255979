import { slaneyFilterBank } from './filter-bank.js';
import { rms } from './series.js';
import { spectrometer, type Ffts } from './spectrum.js';

/** What the rhythm network hears: these numbers are those of its training (src/training/network.py). */
export const MEL_BANDS = 80;
export const MEL_RATE = 50;
export const MEL_SIZE = 1024;
const SIGNAL_RMS = 0.1;
const MEL_RMS = 0.02;
const COMPRESSION = 300;

/** Log-compressed mel spectrogram: frame i is centred on i / MEL_RATE s, `data[i * MEL_BANDS + band]`. */
export interface LogMel {
  readonly frames: number;
  readonly data: Float32Array;
}

/** Makes a LogMel from spectra that somebody else computes, frame after frame. */
export interface LogMelMaker {
  readonly frames: number;
  /** Magnitude spectrum of the frame of MEL_SIZE samples centred on i / MEL_RATE s. */
  add(i: number, spectrum: Float32Array): void;
  /** Once every frame is there. */
  finish(): LogMel;
}

/** For a mono signal at `sampleRate` (22050): 80 bands from 30 Hz to 10 kHz, the whole song brought to one level first. */
export function logMelMaker(signal: Float32Array, sampleRate: number): LogMelMaker {
  const frames = Math.floor((signal.length * MEL_RATE) / sampleRate) + 1;
  const data = new Float32Array(frames * MEL_BANDS);
  const bank = slaneyFilterBank(MEL_SIZE, sampleRate, 30, 10_000, MEL_BANDS);
  const bands = new Float32Array(MEL_BANDS);
  const gain = SIGNAL_RMS / Math.max(1e-6, rms(signal));
  let power = 0;
  return {
    frames,
    add(i, spectrum) {
      bank.apply(spectrum, bands);
      const from = i * MEL_BANDS;
      for (let b = 0; b < MEL_BANDS; b++) {
        const value = (bands[b] as number) * gain;
        data[from + b] = value;
        power += value * value;
      }
    },
    finish() {
      const scale = (COMPRESSION * MEL_RMS) / Math.max(1e-7, Math.sqrt(power / data.length));
      for (let i = 0; i < data.length; i++) data[i] = Math.log1p((data[i] as number) * scale);
      return { frames, data };
    },
  };
}

/** The log-mel spectrogram of a signal by itself; see logMelMaker. */
export function logMel(signal: Float32Array, sampleRate: number, ffts: Ffts): LogMel {
  const maker = logMelMaker(signal, sampleRate);
  const spectra = spectrometer(MEL_SIZE, ffts);
  for (let i = 0; i < maker.frames; i++) maker.add(i, spectra.at(signal, (i * sampleRate) / MEL_RATE));
  return maker.finish();
}
