import { resample } from './resample.js';
import { spectrometer, type Ffts } from './spectrum.js';

/**
 * What a recording sounds like, in 32 bits a frame: told again from a re-encoded, trimmed or slightly faster file. Frame i
 * begins i / PRINT_RATE seconds into the sound.
 *
 * Method: J. Haitsma and T. Kalker, "A Highly Robust Audio Fingerprinting System", ISMIR 2002: frames of 0.37 s, the signs of
 * how the energy differences of 33 neighbouring bands, 300 to 2000 Hz, change from a frame to the next.
 */
export interface Fingerprint {
  /** Seconds of the sound it was made from. */
  readonly duration: number;
  readonly words: Uint32Array;
}

/** Samples of the signal to one of the fingerprint's. */
const DECIMATION = 4;
const FRAME = 2048;
const HOP = 64;
const BANDS = 33;
const LOWEST = 300;
const HIGHEST = 2000;

/** Sample rate that the signal has to have. */
export const PRINT_SIGNAL_RATE = 22050;

/** Frames a second. */
export const PRINT_RATE = PRINT_SIGNAL_RATE / DECIMATION / HOP;

/** Seconds from where a word begins to the middle of what it tells of: of two frames, one HOP apart. */
export const PRINT_CENTRE = (DECIMATION * (FRAME + HOP)) / 2 / PRINT_SIGNAL_RATE;

/** Mean magnitude of a bin below which a frame counts as silence; its word is 0. */
const SILENCE = 1e-6;

/**
 * The fingerprint of a mono signal at PRINT_SIGNAL_RATE; no words when it is shorter than a frame. `report` is told the
 * share done, 0 to 1, and may throw to stop.
 */
export function fingerprint(
  signal: Float32Array,
  ffts: Ffts,
  report: (done: number) => void = () => undefined,
): Fingerprint {
  const low = resample(signal, DECIMATION, 1);
  const { at } = spectrometer(FRAME, ffts);
  const edges = bandEdges();
  const frames = Math.max(0, Math.floor((low.length - FRAME) / HOP));
  const words = new Uint32Array(frames);
  let before = new Float64Array(BANDS);
  let now = new Float64Array(BANDS);
  for (let i = 0; i <= frames; i++) {
    const spectrum = at(low, i * HOP + FRAME / 2);
    let sum = 0;
    for (let band = 0; band < BANDS; band++) {
      let energy = 0;
      for (let k = edges[band] as number; k < (edges[band + 1] as number); k++) {
        energy += (spectrum[k] as number) ** 2;
      }
      now[band] = energy;
      sum += energy;
    }
    if (i > 0 && sum > SILENCE ** 2) words[i - 1] = wordOf(before, now);
    [before, now] = [now, before];
    if (i % 2048 === 0) report(i / Math.max(1, frames));
  }
  return { duration: signal.length / PRINT_SIGNAL_RATE, words };
}

function wordOf(before: Float64Array, now: Float64Array): number {
  let word = 0;
  for (let m = 0; m < BANDS - 1; m++) {
    const rise = (now[m] as number) - (now[m + 1] as number) - ((before[m] as number) - (before[m + 1] as number));
    word = (word << 1) | (rise > 0 ? 1 : 0);
  }
  return word >>> 0;
}

/** First bin of each band, and the one after the last: bands of one width in pitch. */
function bandEdges(): readonly number[] {
  const bin = PRINT_SIGNAL_RATE / DECIMATION / FRAME;
  return Array.from({ length: BANDS + 1 }, (_, i) => Math.round((LOWEST * (HIGHEST / LOWEST) ** (i / BANDS)) / bin));
}
