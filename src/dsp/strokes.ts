/** Samples of a step at 48 kHz, of which the energy of the slope is taken: about 1.3 ms. */
const STEP = 64 / 48000;
/** Steps before a stroke with which it is compared, and those between that its own rise may fill. */
const BEFORE = 24;
const BETWEEN = 5;
/** Steps heard after the rise was noticed, so that its height is known. */
const AFTER = 8;
/** Steps in which there is one stroke at most: a slow strum over six strings takes about 60 ms. */
const APART = 68;
/** A stroke rises to so many times the energy before it, above the quiet of the room, and to a share of the loudest. */
const RISE = 5;
const ABOVE_ROOM = 12;
const SHARE = 0.01;
/** What is fainter is no stroke, whatever lay before it. */
const FAINT = 1e-7;
/** Share of its height at which a rise counts as begun. */
const BEGUN = 0.12;
/** Share of the loudest stroke that is left a step later: halved in about two seconds. */
const FORGET = 0.5 ** (STEP / 2);

/**
 * Finds strokes on strings, or taps, in a live signal: where the energy of its slope, in which attacks stand out over what
 * rings, rises at once. Own method after the energy detectors in Bello et al., "A Tutorial on Onset Detection in Music
 * Signals" (IEEE Transactions on Speech and Audio Processing, 2005). Nothing is allocated after the constructor.
 */
export class StrokeDetector {
  readonly #step: number;
  readonly #heard: (frame: number) => void;
  readonly #ring = new Float64Array(128);
  /** Steps done; samples of the next one so far. */
  #steps = 0;
  #filled = 0;
  #energy = 0;
  #last = 0;
  #room = Infinity;
  #loudest = 0;
  /** Step at which a rise was noticed; -1: none under way. */
  #noticed = -1;
  #latest = -APART;

  /** `heard` is told the sample, counted from the first one pushed, at which each stroke begins. */
  constructor(sampleRate: number, heard: (frame: number) => void) {
    this.#step = Math.max(8, Math.round(STEP * sampleRate));
    this.#heard = heard;
  }

  /** The next samples, of any number. */
  push(samples: Float32Array): void {
    for (let i = 0; i < samples.length; i++) {
      const x = samples[i]!;
      this.#energy += (x - this.#last) * (x - this.#last);
      this.#last = x;
      if (++this.#filled === this.#step) this.#next();
    }
  }

  #next(): void {
    const energy = this.#energy / this.#step + 1e-12;
    this.#energy = 0;
    this.#filled = 0;
    const now = this.#steps++;
    this.#ring[now % 128] = energy;
    this.#loudest = Math.max(energy, this.#loudest * FORGET);
    // The room is as quiet as the quietest lately; it may grow louder, slowly.
    this.#room = Math.min(energy, this.#room * (1 + STEP));
    if (now < BEFORE + BETWEEN) return;
    if (this.#noticed >= 0) {
      if (now - this.#noticed === AFTER) this.#tell();
      return;
    }
    if (now - this.#latest < APART) return;
    let before = 0;
    for (let k = BETWEEN; k < BETWEEN + BEFORE; k++) before += this.#at(now - k) / BEFORE;
    if (energy > RISE * before && energy > ABOVE_ROOM * this.#room && energy > FAINT + SHARE * this.#loudest)
      this.#noticed = now;
  }

  #tell(): void {
    let height = 0;
    for (let k = this.#noticed - BETWEEN; k <= this.#noticed + AFTER; k++) height = Math.max(height, this.#at(k));
    let first = this.#noticed;
    while (first > this.#noticed - 2 * BETWEEN && this.#at(first - 1) > BEGUN * height) first--;
    // What was noticed may lie before the rise proper.
    while (first < this.#noticed + AFTER && this.#at(first) < BEGUN * height) first++;
    this.#latest = this.#noticed;
    this.#noticed = -1;
    this.#heard(first * this.#step);
  }

  #at(step: number): number {
    return this.#ring[((step % 128) + 128) % 128]!;
  }
}
