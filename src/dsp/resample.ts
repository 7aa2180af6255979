/**
 * Sample rate conversion by a polyphase windowed-sinc filter (Crochiere and Rabiner, Multirate Digital Signal
 * Processing, 1983, chapter 4; Kaiser's window and its length formula: Oppenheim and Schafer, Discrete-Time Signal
 * Processing, section 7.5). Linear phase with the delay taken off: what sounds at time t sounds at time t after it.
 */

/** Aliases and images lie at least so many dB below the signal. */
const ATTENUATION = 90;
/** Passband edge as a share of the lower of the two Nyquist frequencies; the stopband begins as far above it. */
const PASS = 0.907;

/** Converts a signal piece by piece; one channel. The pieces that come out, joined, do not depend on how it was cut. */
export class Resampler {
  readonly #up: number;
  readonly #down: number;
  readonly #kernel: Kernel;
  readonly #halving: boolean;
  /** Input not yet done with, from input sample `#first` on. */
  #waiting: Float32Array;
  #first: number;
  /** Kept from piece to piece, because a long signal would leave gigabytes behind. */
  #room = new Float32Array(0);
  #received = 0;
  /** Next output lies at input sample #index + #phase / #up. */
  #index = 0;
  #phase = 0;

  /**
   * Rates in Hz: whole numbers from 1 on; throws RangeError for others. `pass`: the share (below 1) of the lower
   * rate's range that is kept whole; what folds back lies above it. The nearer to 1, the more work.
   */
  constructor(from: number, to: number, pass = PASS) {
    for (const rate of [from, to])
      if (!Number.isInteger(rate) || rate < 1)
        throw new RangeError(`Resampler: a rate of ${rate} Hz, not a whole number`);
    const common = gcd(from, to);
    this.#up = to / common;
    this.#down = from / common;
    this.#halving = this.#up === 1 && this.#down === 2;
    this.#kernel = kernelOf(from, to, this.#up, pass);
    this.#first = -(this.#kernel.half - 1);
    this.#waiting = new Float32Array(this.#kernel.half - 1);
  }

  /** The next piece of the signal, of any length; returns what can be told so far. */
  push(input: Float32Array): Float32Array {
    this.#received += input.length;
    return this.#run(input, Infinity);
  }

  /** Ends the signal; after it, ceil(length x to / from) samples have come out in all. */
  finish(): Float32Array {
    return this.#run(new Float32Array(this.#kernel.half), Math.ceil((this.#received * this.#up) / this.#down));
  }

  #run(input: Float32Array, total: number): Float32Array {
    const length = this.#waiting.length + input.length;
    if (this.#room.length < length) this.#room = new Float32Array(length);
    const x = this.#room.subarray(0, length);
    x.set(this.#waiting);
    x.set(input, this.#waiting.length);
    const { half, taps, table } = this.#kernel;
    const up = this.#up;
    const step = Math.floor(this.#down / up);
    const turn = this.#down % up;
    // The output at #index needs the inputs up to #index + half.
    const reach = x.length + this.#first - half;
    const room = Math.max(0, Math.ceil(((reach - this.#index) * up) / this.#down) + 1);
    const done = Math.round((this.#index * up + this.#phase) / this.#down);
    const out = new Float32Array(Math.min(room, Math.max(0, total - done)));
    let n = 0;
    let index = this.#index;
    let phase = this.#phase;
    for (; n < out.length && index < reach; n++) {
      let at = index - half + 1 - this.#first;
      if (this.#halving) {
        // Half as many a second: every other weight is 0 and the rest are alike on both sides.
        const centre = at + half - 1;
        let sum = table[half - 1]! * x[centre]!;
        for (let k = 1; k < half; k += 2) sum += table[half - 1 + k]! * (x[centre - k]! + x[centre + k]!);
        out[n] = sum;
        index += 2;
        continue;
      }
      // Four sums, because one would wait for each addition before the next.
      let a = 0;
      let b = 0;
      let c = 0;
      let d = 0;
      for (let k = phase * taps, end = k + taps; k < end; k += 4, at += 4) {
        a += table[k]! * x[at]!;
        b += table[k + 1]! * x[at + 1]!;
        c += table[k + 2]! * x[at + 2]!;
        d += table[k + 3]! * x[at + 3]!;
      }
      out[n] = a + b + (c + d);
      index += step;
      phase += turn;
      if (phase >= up) {
        phase -= up;
        index++;
      }
    }
    this.#index = index;
    this.#phase = phase;
    const keep = Math.min(x.length, Math.max(0, index - half + 1 - this.#first));
    this.#waiting = x.slice(keep);
    this.#first += keep;
    return n === out.length ? out : out.subarray(0, n);
  }
}

/** A whole signal at another rate: ceil(length x to / from) samples; the same array when the rates are equal. */
export function resample(signal: Float32Array, from: number, to: number): Float32Array {
  if (from === to) return signal;
  const resampler = new Resampler(from, to);
  const head = resampler.push(signal);
  const tail = resampler.finish();
  const whole = new Float32Array(head.length + tail.length);
  whole.set(head);
  whole.set(tail, head.length);
  return whole;
}

interface Kernel {
  /** Inputs weighed on each side, an even number. */
  readonly half: number;
  readonly taps: number;
  /** `taps` weights for each of the `up` places between two inputs. */
  readonly table: Float32Array;
}

function kernelOf(from: number, to: number, up: number, pass: number): Kernel {
  const nyquist = Math.min(from, to) / 2;
  const width = (2 * Math.PI * 2 * (1 - pass) * nyquist) / from;
  const half = 2 * Math.ceil((ATTENUATION - 7.95) / (2.285 * width) / 4) + 2;
  const taps = 2 * half;
  const cutoff = (2 * nyquist) / from;
  const beta = 0.1102 * (ATTENUATION - 8.7);
  const table = new Float32Array(up * taps);
  const weights = new Float64Array(taps);
  for (let phase = 0; phase < up; phase++) {
    let sum = 0;
    for (let k = 0; k < taps; k++) {
      const distance = k - half + 1 - phase / up;
      const share = distance / half;
      const window = Math.abs(share) >= 1 ? 0 : bessel(beta * Math.sqrt(1 - share * share));
      weights[k] = window * sinc(distance * cutoff);
      sum += weights[k]!;
    }
    // Every phase passes a constant unchanged; otherwise it would come out with a ripple at the rates' common divisor.
    for (let k = 0; k < taps; k++) table[phase * taps + k] = weights[k]! / sum;
  }
  return { half, taps, table };
}

function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function bessel(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > sum * 1e-12; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b);
}
