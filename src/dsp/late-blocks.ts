/** Seconds by which the clock may run ahead of the output's frames: outputs ask for several blocks at once, some for 40 ms. */
const SLACK = 0.06;
/** Share by which the two clocks may differ in speed. */
const DRIFT = 0.0005;

/**
 * Counts the blocks that an output had to do without. Frames of a context go on without a gap even when the output was
 * given silence, so the wall clock is held against them: what it gains for good was missed.
 */
export class LateBlocks {
  readonly #rate: number;
  #least = Infinity;
  #frame = 0;
  #missed = 0;

  constructor(sampleRate: number) {
    this.#rate = sampleRate;
  }

  /** Blocks missed so far. */
  get missed(): number {
    return this.#missed;
  }

  /** A block of `frames` is asked for at second `now` of any clock, the first of them being `frame` of the context. */
  block(now: number, frame: number, frames: number): void {
    // A context that rests has stopped its frames: from then on the count begins anew.
    const lag = now - frame / this.#rate;
    const gone = Math.max(0, frame - this.#frame) / this.#rate;
    this.#frame = frame;
    this.#least = Math.min(lag, this.#least + gone * DRIFT);
    const behind = lag - this.#least;
    if (behind <= SLACK) return;
    this.#missed += Math.round((behind * this.#rate) / frames);
    this.#least = lag;
  }
}
