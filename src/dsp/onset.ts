import { logFilterBank } from './filter-bank.js';
import { spectrometer } from './spectrum.js';

/** Upper edges, in Hz, of the bands in which onsets are told apart: kick and bass, low, middle, presence, treble. */
export const ONSET_BAND_EDGES = [120, 300, 1000, 4000, 11000] as const;

const SIZE = 1024;
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

/**
 * Spectral flux in five bands (log-compressed triangular bands, 12 an octave, each compared with the largest of itself and
 * its neighbours two frames earlier, which hides vibrato: Böck & Widmer, "Maximum filter vibrato suppression for
 * onset detection", DAFx 2013).
 *
 * signal: mono at `sampleRate` Hz. `tick` is called now and then with the share done, 0 to 1.
 */
export function bandOnsets(
  signal: Float32Array,
  sampleRate: number,
  rate: number,
  tick: (done: number) => void = () => undefined,
): Onsets {
  const bank = logFilterBank(SIZE, sampleRate, LOW, Math.min(ONSET_BAND_EDGES[4], sampleRate / 2.05), 12);
  const count = bank.centres.length;
  const bandOf = bank.centres.map((hertz) => ONSET_BAND_EDGES.findIndex((edge) => hertz < edge));
  const { at } = spectrometer(SIZE);
  const frames = Math.max(1, Math.floor((signal.length / sampleRate) * rate) + 1);
  const bands = ONSET_BAND_EDGES.map(() => new Float32Array(frames));
  const ring = Array.from({ length: LAG + 1 }, () => new Float32Array(count));
  const gain = COMPRESSION / (rms(signal) * 10 + 1e-9);
  const filled = new Float32Array(count);
  const hop = sampleRate / rate;
  // A rise is written half-way between the two frames compared.
  const offset = (LAG / 2 / rate) * sampleRate;
  for (let i = -LAG; i < frames; i++) {
    const now = ring[(i + LAG) % (LAG + 1)] as Float32Array;
    bank.apply(at(signal, i * hop + offset), filled);
    for (let f = 0; f < count; f++) now[f] = Math.log1p(gain * (filled[f] as number));
    if (i < 0) continue;
    const before = ring[i % (LAG + 1)] as Float32Array;
    for (let f = 0; f < count; f++) {
      const left = f > 0 ? (before[f - 1] as number) : 0;
      const right = f + 1 < count ? (before[f + 1] as number) : 0;
      const rise = (now[f] as number) - Math.max(left, before[f] as number, right);
      if (rise > 0) {
        const band = bands[bandOf[f] as number] as Float32Array;
        band[i] = (band[i] as number) + rise;
      }
    }
    if (i % 1024 === 0) tick(i / frames);
  }
  return { rate, frames, bands };
}

/** Root mean square of a signal; 0 when it is empty. */
export function rms(signal: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < signal.length; i++) sum += (signal[i] as number) * (signal[i] as number);
  return signal.length === 0 ? 0 : Math.sqrt(sum / signal.length);
}
