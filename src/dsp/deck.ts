import { NO_SOUND, type PackedSound } from './packed-sound.js';
import type { SideMix } from './side-mix.js';
import { createStretch, type Instantiate, type Stretch } from './stretch.js';

/** Tones up to here keep their colour when the pitch is changed; the library's own default, in Hz. */
const TONALITY_LIMIT = 8000;

/**
 * One voice of the recording: plays it from a place at a rate, frame after frame, with its pitch kept or moved.
 *
 * At the recording's own speed and pitch it gives the samples themselves; else it stretches. Nothing is allocated
 * after the first `begin`.
 */
export class Deck {
  readonly #rate: number;
  readonly #instantiate: Instantiate;
  #stretch: Stretch | undefined;
  #source: PackedSound = NO_SOUND;
  #left = NO_SOUND.channels[0]!;
  #right = this.#left;
  /** Place in the recording, in its samples, of the next frame. */
  #place = 0;
  /** Samples of the recording a frame. */
  #step = 1;
  #direct = true;
  /** Samples of the recording given to the stretcher so far. */
  #fed = 0;
  /** Frames the stretcher still has to give before the first one that is heard. */
  #behind = 0;

  constructor(sampleRate: number, instantiate: Instantiate) {
    this.#rate = sampleRate;
    this.#instantiate = instantiate;
  }

  /** True when it gives the recording's own samples. */
  get direct(): boolean {
    return this.#direct;
  }

  /**
   * Makes ready to play from `place` (seconds) at `rate`; `transpose` in semitones. What must be worked out before the
   * first frame is done by `prepare`, all of it by the first `render` where it was not.
   */
  begin(source: PackedSound, place: number, rate: number, transpose: number, mix: SideMix): void {
    this.#source = source;
    this.#left = source.channels[0]!;
    this.#right = source.channels[1] ?? this.#left;
    this.#place = place * source.sampleRate;
    this.#step = (rate * source.sampleRate) / this.#rate;
    this.#direct = isDirect(rate, transpose);
    this.#behind = 0;
    if (this.#direct) return;
    const stretch = (this.#stretch ??= createStretch(this.#instantiate, 2, this.#rate));
    this.setTranspose(transpose);
    this.#fed = Math.round(this.#place) + stretch.inputLatency;
    this.#write(stretch, this.#fed - stretch.capacity, stretch.capacity, mix);
    stretch.seek(stretch.capacity, this.#step);
    this.#behind = stretch.outputLatency;
  }

  /** Goes on from where it is at another rate; only where `direct` stays what it is. */
  setRate(rate: number): void {
    this.#step = (rate * this.#source.sampleRate) / this.#rate;
  }

  /** Semitones. A recording of another sample rate than the output's sounds at another pitch, which is taken back here. */
  setTranspose(semitones: number): void {
    const factor = 2 ** (semitones / 12) * (this.#source.sampleRate / this.#rate);
    this.#stretch?.setTranspose(factor, TONALITY_LIMIT / this.#rate);
  }

  /** Works ahead by at most `frames`; true when nothing is left to be done before the first frame. */
  prepare(frames: number, mix: SideMix): boolean {
    const stretch = this.#stretch;
    while (!this.#direct && stretch && this.#behind > 0 && frames > 0) {
      const count = Math.min(frames, this.#behind, 128);
      this.#behind -= count;
      this.#feed(stretch, this.#place + (stretch.outputLatency - this.#behind) * this.#step, count, mix);
      frames -= count;
    }
    return this.#behind === 0;
  }

  /** Writes the next `frames` (at most 128) into the first elements of both sides. */
  render(left: Float32Array, right: Float32Array, frames: number, mix: SideMix): void {
    if (this.#direct) {
      this.#copy(left, right, frames, mix);
      return;
    }
    const stretch = this.#stretch!;
    if (this.#behind > 0) this.prepare(this.#behind, mix);
    this.#place += frames * this.#step;
    this.#feed(stretch, this.#place + stretch.outputLatency * this.#step, frames, mix);
    const l = stretch.output(0);
    const r = stretch.output(1);
    for (let i = 0; i < frames; i++) {
      left[i] = l[i]!;
      right[i] = r[i]!;
    }
  }

  /** Gives the stretcher what lies up to `place` (and its latency beyond) and takes `frames` from it. */
  #feed(stretch: Stretch, place: number, frames: number, mix: SideMix): void {
    const until = Math.round(place) + stretch.inputLatency;
    const count = Math.max(0, Math.min(until - this.#fed, stretch.capacity));
    this.#write(stretch, this.#fed, count, mix);
    this.#fed += count;
    stretch.process(count, frames);
  }

  #write(stretch: Stretch, from: number, count: number, mix: SideMix): void {
    const { unit } = this.#source;
    const left = this.#left;
    const right = this.#right;
    const l = stretch.input(0);
    const r = stretch.input(1);
    const { leftFromLeft, leftFromRight, rightFromLeft, rightFromRight } = mix;
    for (let i = 0; i < count; i++) {
      const a = unit * (left[from + i] ?? 0);
      const b = unit * (right[from + i] ?? 0);
      l[i] = a * leftFromLeft + b * leftFromRight;
      r[i] = a * rightFromLeft + b * rightFromRight;
    }
  }

  #copy(left: Float32Array, right: Float32Array, frames: number, mix: SideMix): void {
    const { unit } = this.#source;
    const oneSided = this.#right === this.#left;
    for (let i = 0; i < frames; i++) {
      const a = unit * sampleAt(this.#left, this.#place, this.#step);
      const b = oneSided ? a : unit * sampleAt(this.#right, this.#place, this.#step);
      left[i] = a * mix.leftFromLeft + b * mix.leftFromRight;
      right[i] = a * mix.rightFromLeft + b * mix.rightFromRight;
      this.#place += this.#step;
    }
  }
}

export function isDirect(rate: number, transpose: number): boolean {
  return rate === 1 && transpose === 0;
}

/**
 * The sample at a fractional place: the nearest one when source and output run at the same rate, else four-point
 * cubic interpolation (Catmull & Rom 1974). Zero outside.
 */
function sampleAt(samples: Int16Array, place: number, step: number): number {
  if (step === 1) return samples[Math.round(place)] ?? 0;
  const i = Math.floor(place);
  const f = place - i;
  const a = samples[i - 1] ?? 0;
  const b = samples[i] ?? 0;
  const c = samples[i + 1] ?? 0;
  const d = samples[i + 2] ?? 0;
  return b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)));
}
