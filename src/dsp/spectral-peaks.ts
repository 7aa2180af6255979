/** Peaks of a row of spectra, end to end: those of frame i are from `starts[i]` to before `starts[i + 1]`. */
export interface SpectralPeaks {
  readonly frames: number;
  readonly starts: Int32Array;
  /** MIDI number (69 is 440 Hz) with its fraction. */
  readonly pitches: Float32Array;
  /** As in the spectrum. */
  readonly magnitudes: Float32Array;
}

/** Gathers SpectralPeaks spectrum by spectrum. */
export interface PeakGatherer {
  /** The next frame's magnitude spectrum. */
  add(spectrum: Float32Array): void;
  finish(): SpectralPeaks;
}

/** Magnitudes from which a peak counts; a full-scale sine has about 1. */
const LEAST = 1e-6;

/** For `frames` spectra with bins `binHz` wide: their peaks between `low` and `high` Hz. */
export function peakGatherer(frames: number, binHz: number, low: number, high: number): PeakGatherer {
  const first = Math.max(2, Math.floor(low / binHz));
  const starts = new Int32Array(frames + 1);
  let pitches = new Float32Array(frames * 128);
  let magnitudes = new Float32Array(pitches.length);
  let frame = 0;
  let count = 0;
  const grow = (): void => {
    const [was, had] = [pitches, magnitudes];
    pitches = new Float32Array(2 * was.length + 4096);
    magnitudes = new Float32Array(pitches.length);
    pitches.set(was);
    magnitudes.set(had);
  };
  return {
    add(spectrum) {
      const last = Math.min(spectrum.length - 2, Math.ceil(high / binHz));
      if (count + last > pitches.length) grow();
      for (let k = first; k <= last; k++) {
        const here = spectrum[k] as number;
        const before = spectrum[k - 1] as number;
        const after = spectrum[k + 1] as number;
        if (here <= before || here < after || here < LEAST) continue;
        // Parabola through the logarithms: exact for a Gaussian main lobe, within a few cents for a Hann window.
        const a = Math.log(before + 1e-9);
        const b = Math.log(here + 1e-9);
        const c = Math.log(after + 1e-9);
        const shift = (0.5 * (a - c)) / (a - 2 * b + c);
        pitches[count] = 69 + 12 * Math.log2(((k + shift) * binHz) / 440);
        magnitudes[count] = here;
        count++;
      }
      starts[++frame] = count;
    },
    finish: () => ({
      frames,
      starts,
      pitches: pitches.subarray(0, count),
      magnitudes: magnitudes.subarray(0, count),
    }),
  };
}
