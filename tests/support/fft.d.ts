declare module 'fft.js' {
  /** Radix-4 FFT of a fixed power-of-two size; complex numbers are interleaved (real, imaginary). */
  export default class FFT {
    readonly size: number;
    constructor(size: number);
    /** Fills the first size/2 + 1 bins of `out` (length 2 * size) from `size` real samples. */
    realTransform(out: number[] | Float64Array | Float32Array, data: ArrayLike<number>): void;
  }
}
