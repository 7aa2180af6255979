import { trackMeans, type BarSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';

/** Parts of a bar whose harmony is compared one by one. */
const PARTS = 4;
export const LIKENESS_MODEL = {
  /** Bars averaged each way for the colour of a passage: a progression of a few bars then counts as one. */
  harmonyReach: 2,
  soundReach: 0,
  /** Width of the Gaussian that turns distances of timbre into likeness, in standard deviations over the song. */
  timbreWidth: 0.5,
  /** Share of harmony in each likeness, the rest is sound. */
  sameHarmony: 0.7,
  colourHarmony: 0.3,
};

/** Likenesses of all pairs of bars, row by row, about -1 to 1, larger is more alike, near 0 on average. */
export interface BarLikeness {
  readonly size: number;
  /** The same music: chroma part by part, and sound. For finding what returns. */
  readonly same: Float32Array;
  /** The same colour: chroma and sound averaged over neighbouring bars. For finding what belongs together. */
  readonly colour: Float32Array;
  /** The two parts of `same`: likeness of two bars' harmony with the first so many semitones higher, and of their sound. */
  harmony(a: number, b: number, shift: number): number;
  readonly sound: Float32Array;
}

export function barLikeness(evidence: Evidence, bars: readonly BarSlot[]): BarLikeness {
  const size = bars.length;
  const parts = centred(partChroma(evidence, bars), size);
  const timbre = barTimbre(evidence, bars);
  const harmony = cosines(parts, size);
  const sound = nearness(timbre, size);
  const { harmonyReach, soundReach, sameHarmony, colourHarmony } = LIKENESS_MODEL;
  const wideHarmony = cosines(smoothed(centred(meanChroma(evidence, bars), size), size, harmonyReach), size);
  const wideSound = nearness(smoothed(timbre, size, soundReach), size);
  return {
    size,
    same: blend(harmony, sound, sameHarmony),
    colour: blend(wideHarmony, wideSound, colourHarmony),
    harmony: shiftedCosine(parts, size, harmony),
    sound,
  };
}

/** Cosine of two rows of twelves, those of the first turned by a shift; without one looked up in `known`. */
function shiftedCosine(
  rows: Float32Array,
  size: number,
  known: Float32Array,
): (a: number, b: number, shift: number) => number {
  const width = rows.length / size;
  const squares = Float64Array.from({ length: size }, (_, i) => {
    let sum = 1e-6;
    for (let k = 0; k < width; k++) sum += (rows[i * width + k] as number) ** 2;
    return sum;
  });
  return (a, b, shift) => {
    if (shift === 0) return known[a * size + b] as number;
    let dot = 0;
    for (let at = 0; at < width; at += 12) {
      for (let k = 0; k < 12; k++) {
        const turned = at + ((k + shift) % 12);
        dot += (rows[a * width + at + k] as number) * (rows[b * width + turned] as number);
      }
    }
    return dot / Math.sqrt((squares[a] as number) * (squares[b] as number));
  };
}

function partChroma(evidence: Evidence, bars: readonly BarSlot[]): Float32Array {
  const chroma = trackMeans(evidence.tracks.chroma);
  const bass = trackMeans(evidence.tracks.bass);
  const out = new Float32Array(bars.length * PARTS * 24);
  bars.forEach(({ start, end }, i) => {
    for (let p = 0; p < PARTS; p++) {
      const from = start + ((end - start) * p) / PARTS;
      const to = start + ((end - start) * (p + 1)) / PARTS;
      chroma.mean(from, to, out, (i * PARTS + p) * 24);
      bass.mean(from, to, out, (i * PARTS + p) * 24 + 12);
    }
  });
  return out;
}

function meanChroma(evidence: Evidence, bars: readonly BarSlot[]): Float32Array {
  const chroma = trackMeans(evidence.tracks.chroma);
  const out = new Float32Array(bars.length * 12);
  bars.forEach(({ start, end }, i) => chroma.mean(start, end, out, i * 12));
  return out;
}

function barTimbre(evidence: Evidence, bars: readonly BarSlot[]): Float32Array {
  const means = trackMeans(evidence.tracks.timbre);
  const out = new Float32Array(bars.length * means.width);
  bars.forEach(({ start, end }, i) => means.mean(start, end, out, i * means.width));
  return out.map((v) => (v - 128) / 32);
}

/** The rows with the mean row taken off. */
function centred(rows: Float32Array, size: number): Float32Array {
  const width = rows.length / size;
  const mean = new Float64Array(width);
  for (let i = 0; i < rows.length; i++) mean[i % width] = (mean[i % width] as number) + (rows[i] as number) / size;
  return rows.map((v, i) => v - (mean[i % width] as number));
}

function smoothed(rows: Float32Array, size: number, reach: number): Float32Array {
  const width = rows.length / size;
  const out = new Float32Array(rows.length);
  for (let i = 0; i < size; i++) {
    const from = Math.max(0, i - reach);
    const to = Math.min(size - 1, i + reach);
    for (let j = from; j <= to; j++) {
      for (let k = 0; k < width; k++) {
        out[i * width + k] = (out[i * width + k] as number) + (rows[j * width + k] as number) / (to - from + 1);
      }
    }
  }
  return out;
}

function cosines(rows: Float32Array, size: number): Float32Array {
  const width = rows.length / size;
  const lengths = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    let sum = 1e-6;
    for (let k = 0; k < width; k++) sum += (rows[i * width + k] as number) ** 2;
    lengths[i] = Math.sqrt(sum);
  }
  return pairs(size, (i, j) => {
    let dot = 0;
    for (let k = 0; k < width; k++) dot += (rows[i * width + k] as number) * (rows[j * width + k] as number);
    return dot / ((lengths[i] as number) * (lengths[j] as number));
  });
}

/** Gaussian of the distance between rows, shifted to a mean of 0 over all pairs. */
function nearness(rows: Float32Array, size: number): Float32Array {
  const width = rows.length / size;
  const scale = 1 / (2 * LIKENESS_MODEL.timbreWidth ** 2 * width);
  const out = pairs(size, (i, j) => {
    let sum = 0;
    for (let k = 0; k < width; k++) sum += ((rows[i * width + k] as number) - (rows[j * width + k] as number)) ** 2;
    return Math.exp(-sum * scale);
  });
  let mean = 0;
  for (const v of out) mean += v / out.length;
  return out.map((v) => v - mean);
}

function pairs(size: number, like: (i: number, j: number) => number): Float32Array {
  const out = new Float32Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = i; j < size; j++) {
      const value = like(i, j);
      out[i * size + j] = value;
      out[j * size + i] = value;
    }
  }
  return out;
}

function blend(a: Float32Array, b: Float32Array, share: number): Float32Array {
  return a.map((v, i) => share * v + (1 - share) * (b[i] as number));
}
