import FFT from 'fft.js';
import { hannWindow, windowedFrame } from './frames.js';

/** Computes magnitude spectra of one signal at any place; reuses its buffers. */
export interface Spectrometer {
  /** Number of bins, size / 2 + 1; bin k lies at k * sampleRate / size. */
  readonly bins: number;
  /** Magnitudes of the Hann-windowed frame centred on sample `centre`, a full-scale sine giving about 1. Valid until the next call. */
  readonly at: (signal: Float32Array, centre: number) => Float32Array;
}

/** A spectrometer with frames of `size` samples (a power of two, at least 64). */
export function spectrometer(size: number): Spectrometer {
  if (!(size >= 64) || (size & (size - 1)) !== 0) {
    throw new RangeError(`spectrometer: found a size of ${size}; use a power of two of at least 64`);
  }
  const fft = new FFT(size);
  const window = hannWindow(size);
  const frame = new Float32Array(size);
  const complex = new Float64Array(2 * size);
  const bins = size / 2 + 1;
  const magnitudes = new Float32Array(bins);
  const scale = 4 / size;
  return {
    bins,
    at(signal, centre) {
      windowedFrame(signal, centre, window, frame);
      fft.realTransform(complex, frame);
      for (let k = 0; k < bins; k++) {
        const re = complex[2 * k] as number;
        const im = complex[2 * k + 1] as number;
        magnitudes[k] = Math.sqrt(re * re + im * im) * scale;
      }
      return magnitudes;
    },
  };
}
