/** The value below which `share` (0 to 1) of `values` lie; 0 for none. Does not change `values`. */
export function quantile(values: ArrayLike<number>, share: number): number {
  const count = values.length;
  if (count === 0) return 0;
  const sorted = count <= FEW ? sortedFew(values) : Float64Array.from(values).sort();
  const at = share * (count - 1);
  const low = Math.floor(at);
  const a = sorted[low] as number;
  const b = sorted[Math.min(low + 1, count - 1)] as number;
  return a + (b - a) * (at - low);
}

/** So few values are sorted faster by insertion than by the built-in sort and its allocation. */
const FEW = 32;
const few = new Float64Array(FEW);

/** Valid until the next call. */
function sortedFew(values: ArrayLike<number>): Float64Array {
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    let k = i;
    for (; k > 0 && (few[k - 1] as number) > value; k--) few[k] = few[k - 1] as number;
    few[k] = value;
  }
  return few;
}

export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5);
}

/** Mean of each value and up to `radius` neighbours either side (fewer at the ends). */
export function movingMean(values: ArrayLike<number>, radius: number): Float32Array {
  const n = values.length;
  const sums = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) sums[i + 1] = (sums[i] as number) + (values[i] as number);
  const out = new Float32Array(n);
  for (let i = 0; i < n; i++) {
    const from = Math.max(0, i - radius);
    const to = Math.min(n, i + radius + 1);
    out[i] = ((sums[to] as number) - (sums[from] as number)) / (to - from);
  }
  return out;
}

/** Median of each value and up to `radius` neighbours either side. */
export function movingMedian(values: ArrayLike<number>, radius: number): Float32Array {
  const out = new Float32Array(values.length);
  for (let i = 0; i < values.length; i++) {
    const part: number[] = [];
    for (let k = Math.max(0, i - radius); k <= Math.min(values.length - 1, i + radius); k++)
      part.push(values[k] as number);
    out[i] = median(part);
  }
  return out;
}

/** Mean and standard deviation (of the population). */
export function meanAndDeviation(values: ArrayLike<number>): { readonly mean: number; readonly deviation: number } {
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < values.length; i++) {
    sum += values[i] as number;
    squares += (values[i] as number) ** 2;
  }
  const n = Math.max(1, values.length);
  const mean = sum / n;
  return { mean, deviation: Math.sqrt(Math.max(0, squares / n - mean * mean)) };
}

/** Root mean square; 0 of none. */
export function rms(values: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += (values[i] as number) * (values[i] as number);
  return values.length === 0 ? 0 : Math.sqrt(sum / values.length);
}
