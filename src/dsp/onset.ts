import { logFilterBank } from './filter-bank.js';
import { rms } from './series.js';

/** Upper edges, in Hz, of the bands in which onsets are told apart: kick and bass, low, middle, presence, treble. */
export const ONSET_BAND_EDGES = [120, 300, 1000, 4000, 11000] as const;

/** Samples of a frame. */
export const ONSET_SIZE = 1024;
const LOW = 30;
/** Compression log(1 + COMPRESSION * magnitude), magnitudes scaled by the song's RMS. */
const COMPRESSION = 300;
/** Frames between the two spectra that are compared. */
const LAG = 2;

/** Onset strength at `rate` frames a second. */
export interface Onsets {
  readonly rate: number;
  readonly frames: number;
  /** `bands[k][i]`: half-wave rectified rise of the log spectrum in band k at i / rate seconds; not negative. */
  readonly bands: readonly Float32Array[];
}

/** Makes Onsets from spectra that somebody else computes, frame after frame. */
export interface OnsetMaker {
  /** First frame wanted (before the signal), and the one after the last. */
  readonly from: number;
  readonly to: number;
  /** Magnitude spectrum of the frame of ONSET_SIZE samples centred on i / rate s; for every i from `from`, ascending. */
  add(i: number, spectrum: Float32Array): void;
  finish(): Onsets;
}

/**
 * Spectral flux in five bands (log-compressed triangular bands, 12 an octave, each compared with the largest of itself and
 * its neighbours two frames earlier, which hides vibrato: Böck & Widmer, "Maximum filter vibrato suppression for
 * onset detection", DAFx 2013). signal: mono at `sampleRate` Hz.
 */
export function onsetMaker(signal: Float32Array, sampleRate: number, rate: number): OnsetMaker {
  const bank = logFilterBank(ONSET_SIZE, sampleRate, LOW, Math.min(ONSET_BAND_EDGES[4], sampleRate / 2.05), 12);
  const count = bank.centres.length;
  const bandOf = Int8Array.from(bank.centres, (hertz) => ONSET_BAND_EDGES.findIndex((edge) => hertz < edge));
  const frames = Math.max(1, Math.floor((signal.length / sampleRate) * rate) + 1);
  const bands = ONSET_BAND_EDGES.map(() => new Float32Array(frames));
  const ring = Array.from({ length: LAG + 1 }, () => new Float32Array(count));
  const gain = COMPRESSION / (rms(signal) * 10 + 1e-9);
  const sums = new Float32Array(ONSET_BAND_EDGES.length);
  // A rise is written half-way between the two frames compared.
  const from = LAG / 2 - LAG;
  return {
    from,
    to: frames + LAG / 2,
    add(i, spectrum) {
      const turn = i - from;
      const now = ring[turn % (LAG + 1)] as Float32Array;
      bank.apply(spectrum, now);
      for (let f = 0; f < count; f++) now[f] = Math.log1p(gain * (now[f] as number));
      if (turn < LAG) return;
      const before = ring[(turn - LAG) % (LAG + 1)] as Float32Array;
      sums.fill(0);
      for (let f = 0; f < count; f++) {
        let top = before[f] as number;
        if (f > 0 && (before[f - 1] as number) > top) top = before[f - 1] as number;
        if (f + 1 < count && (before[f + 1] as number) > top) top = before[f + 1] as number;
        const rise = (now[f] as number) - top;
        const band = bandOf[f] as number;
        if (rise > 0) sums[band] = (sums[band] as number) + rise;
      }
      for (let k = 0; k < sums.length; k++) (bands[k] as Float32Array)[turn - LAG] = sums[k] as number;
    },
    finish: () => ({ rate, frames, bands }),
  };
}
