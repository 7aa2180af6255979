/** Outline of a recording for drawing: `data[2i]`, `data[2i + 1]` are lowest and highest sample (x 127) of all channels in the i-th 1/rate s. */
export interface Peaks {
  readonly rate: number;
  readonly data: Int8Array;
}

/** Outline steps a second. */
export const PEAK_RATE = 200;
