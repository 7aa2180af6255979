/** A bank of triangular filters over the bins of a magnitude spectrum, stored as the bins each one covers. */
export interface FilterBank {
  /** Centre frequency of each filter in Hz, ascending. */
  readonly centres: readonly number[];
  /** Filtered magnitudes of `spectrum` into `out` (length: number of filters). */
  readonly apply: (spectrum: Float32Array, out: Float32Array) => void;
}

/**
 * Filters of unit peak, `perOctave` an octave from `low` to `high` Hz, for spectra of `size`-sample frames. Filters
 * narrower than a bin are widened to one, and such doubles are left out, so that no filter is empty.
 */
export function logFilterBank(
  size: number,
  sampleRate: number,
  low: number,
  high: number,
  perOctave: number,
): FilterBank {
  const binOf = (hertz: number): number => (hertz * size) / sampleRate;
  const steps = Math.floor(Math.log2(high / low) * perOctave);
  const points: number[] = [];
  for (let i = 0; i <= steps; i++) {
    const bin = binOf(low * 2 ** (i / perOctave));
    const last = points[points.length - 1];
    if (last === undefined || bin - last >= 1) points.push(bin);
  }
  const centres: number[] = [];
  const filters: { first: number; weights: Float32Array }[] = [];
  for (let i = 1; i + 1 < points.length; i++) {
    const [left, middle, right] = [points[i - 1] as number, points[i] as number, points[i + 1] as number];
    const first = Math.max(1, Math.ceil(left));
    const last = Math.min(size / 2, Math.floor(right));
    const weights = new Float32Array(last - first + 1);
    for (let k = first; k <= last; k++) {
      weights[k - first] = Math.max(0, k <= middle ? (k - left) / (middle - left) : (right - k) / (right - middle));
    }
    centres.push((middle * sampleRate) / size);
    filters.push({ first, weights });
  }
  return {
    centres,
    apply(spectrum, out) {
      for (let f = 0; f < filters.length; f++) {
        const { first, weights } = filters[f] as { first: number; weights: Float32Array };
        let sum = 0;
        for (let k = 0; k < weights.length; k++) sum += (weights[k] as number) * (spectrum[first + k] as number);
        out[f] = sum;
      }
    },
  };
}
