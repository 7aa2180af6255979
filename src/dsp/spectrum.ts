import { hannWindow, windowedFrame } from './frames.js';

/** Fourier transform of `size` real samples. */
export interface RealFft {
  readonly size: number;
  /** Where the samples are to be written; asked for anew before each transform. */
  input(): Float32Array;
  /**
   * Bins 0 to size / 2 - 1 as real and imaginary parts in turn, the real bin size / 2 in the place of bin 0's imaginary
   * part, which is 0. Valid until the next call for this size.
   */
  transform(): Float32Array;
}

/** Gives the transform of a size, a power of two of at least 64. */
export type Ffts = (size: number) => RealFft;

/** Computes magnitude spectra of one signal at any place; reuses its buffers. */
export interface Spectrometer {
  /** Number of bins, size / 2 + 1; bin k lies at k * sampleRate / size. */
  readonly bins: number;
  /** Magnitudes of the Hann-windowed frame centred on sample `centre`, a full-scale sine giving about 1. Valid until the next call. */
  readonly at: (signal: Float32Array, centre: number) => Float32Array;
}

/** A spectrometer with frames of `size` samples (a power of two, at least 64). */
export function spectrometer(size: number, ffts: Ffts): Spectrometer {
  if (!(size >= 64) || (size & (size - 1)) !== 0) {
    throw new RangeError(`spectrometer: found a size of ${size}; use a power of two of at least 64`);
  }
  const fft = ffts(size);
  const window = hannWindow(size);
  const half = size / 2;
  const magnitudes = new Float32Array(half + 1);
  const scale = 4 / size;
  return {
    bins: half + 1,
    at(signal, centre) {
      windowedFrame(signal, centre, window, fft.input());
      const parts = fft.transform();
      magnitudes[0] = Math.abs(parts[0] as number) * scale;
      magnitudes[half] = Math.abs(parts[1] as number) * scale;
      for (let k = 1; k < half; k++) {
        const re = parts[2 * k] as number;
        const im = parts[2 * k + 1] as number;
        magnitudes[k] = Math.sqrt(re * re + im * im) * scale;
      }
      return magnitudes;
    },
  };
}
