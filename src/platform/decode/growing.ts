const PIECE = 1 << 20;

/** Samples put one after another; set aside at once as far as their number is known, so that they are kept once. */
export class Growing {
  #first: Float32Array;
  #rest: Float32Array[] = [];
  length = 0;

  constructor(expected: number) {
    this.#first = new Float32Array(expected);
  }

  push(samples: Float32Array): void {
    let from = 0;
    while (from < samples.length) {
      const { piece, at } = this.#place();
      const count = Math.min(samples.length - from, piece.length - at);
      piece.set(samples.subarray(from, from + count), at);
      from += count;
      this.length += count;
    }
  }

  #place(): { piece: Float32Array; at: number } {
    if (this.length < this.#first.length) return { piece: this.#first, at: this.length };
    const at = (this.length - this.#first.length) % PIECE;
    if (at === 0) this.#rest.push(new Float32Array(PIECE));
    return { piece: this.#rest.at(-1)!, at };
  }

  /** All samples in one array, and nothing is kept here any more. A little room left over stays behind the array. */
  take(): Float32Array {
    const first = this.#first;
    const length = this.length;
    this.#first = new Float32Array(0);
    this.length = 0;
    if (length <= first.length && length > 0.98 * first.length) return first.subarray(0, length);
    const whole = new Float32Array(length);
    whole.set(first.subarray(0, Math.min(length, first.length)));
    let at = first.length;
    for (const piece of this.#rest.splice(0)) {
      whole.set(piece.subarray(0, Math.min(PIECE, length - at)), at);
      at += PIECE;
    }
    return whole;
  }
}
