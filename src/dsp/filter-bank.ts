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
  const filters: Filter[] = [];
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
  return bankOf(centres, filters);
}

/**
 * Triangular filters of unit peak on the mel scale of Slaney's Auditory Toolbox (1998): linear below 1 kHz, logarithmic
 * above; `count` of them from `low` to `high` Hz, for spectra of `size`-sample frames. Narrow ones may be empty.
 */
export function slaneyFilterBank(
  size: number,
  sampleRate: number,
  low: number,
  high: number,
  count: number,
): FilterBank {
  const from = slaneyMel(low);
  const step = (slaneyMel(high) - from) / (count + 1);
  const edges = Array.from({ length: count + 2 }, (_, i) => slaneyHertz(from + i * step));
  const filters = Array.from({ length: count }, (_, i) => {
    const [left, middle, right] = [edges[i] as number, edges[i + 1] as number, edges[i + 2] as number];
    const first = Math.ceil((left * size) / sampleRate);
    const last = Math.min(size / 2, Math.floor((right * size) / sampleRate));
    const weights = Float32Array.from({ length: Math.max(0, last - first + 1) }, (_, k) => {
      const hertz = ((first + k) * sampleRate) / size;
      return Math.max(0, Math.min((hertz - left) / (middle - left), (right - hertz) / (right - middle)));
    });
    return { first, weights };
  });
  return bankOf(edges.slice(1, -1), filters);
}

const SLANEY_BREAK = 15;
const SLANEY_STEP = Math.log(6.4) / 27;

function slaneyMel(hertz: number): number {
  return hertz < 1000 ? (3 * hertz) / 200 : SLANEY_BREAK + Math.log(hertz / 1000) / SLANEY_STEP;
}

function slaneyHertz(mel: number): number {
  return mel < SLANEY_BREAK ? (200 * mel) / 3 : 1000 * Math.exp((mel - SLANEY_BREAK) * SLANEY_STEP);
}

interface Filter {
  readonly first: number;
  readonly weights: Float32Array;
}

/** The filters' weights lie end to end in one array: reading them is most of the work. */
function bankOf(centres: readonly number[], filters: readonly Filter[]): FilterBank {
  const starts = Int32Array.from(filters, ({ first }) => first);
  const lengths = Int32Array.from(filters, ({ weights }) => weights.length);
  const table = new Float32Array(lengths.reduce((sum, length) => sum + length, 0));
  let end = 0;
  for (const { weights } of filters) {
    table.set(weights, end);
    end += weights.length;
  }
  return {
    centres,
    apply(spectrum, out) {
      let at = 0;
      for (let f = 0; f < starts.length; f++) {
        const first = starts[f] as number;
        const last = first + (lengths[f] as number);
        let sum = 0;
        for (let k = first; k < last; k++) sum += (table[at++] as number) * (spectrum[k] as number);
        out[f] = sum;
      }
    },
  };
}
