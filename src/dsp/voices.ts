import { BUSES, type Sounding, type SoundName } from '../music/timeline.js';

/** Soundings packed for the audio thread, ascending in `at`: seconds, index of sound, gain, index in BUSES, choke. */
export interface PackedSoundings {
  readonly at: Float64Array;
  readonly sound: Uint16Array;
  readonly gain: Float32Array;
  readonly bus: Uint8Array;
  readonly choke: Uint16Array;
}

export const NO_SOUNDINGS: PackedSoundings = {
  at: new Float64Array(0),
  sound: new Uint16Array(0),
  gain: new Float32Array(0),
  bus: new Uint8Array(0),
  choke: new Uint16Array(0),
};

/** `soundings` in order of time, each sound by its index in the bank. */
export function packed(soundings: readonly Sounding[], indexOf: (sound: SoundName) => number): PackedSoundings {
  const sorted = [...soundings].sort((a, b) => a.at - b.at);
  return {
    at: Float64Array.from(sorted, ({ at }) => at),
    sound: Uint16Array.from(sorted, ({ sound }) => indexOf(sound)),
    gain: Float32Array.from(sorted, ({ gain }) => gain),
    bus: Uint8Array.from(sorted, ({ bus }) => BUSES.indexOf(bus)),
    choke: Uint16Array.from(sorted, ({ choke }) => choke ?? 0),
  };
}

/** The first `kept` of `a`, then all of `b`. */
export function joinedSoundings(a: PackedSoundings, kept: number, b: PackedSoundings): PackedSoundings {
  const length = kept + b.at.length;
  const both = <T extends Float64Array | Uint16Array | Float32Array | Uint8Array>(into: T, x: T, y: T): T => {
    into.set(x.subarray(0, kept));
    into.set(y, kept);
    return into;
  };
  return {
    at: both(new Float64Array(length), a.at, b.at),
    sound: both(new Uint16Array(length), a.sound, b.sound),
    gain: both(new Float32Array(length), a.gain, b.gain),
    bus: both(new Uint8Array(length), a.bus, b.bus),
    choke: both(new Uint16Array(length), a.choke, b.choke),
  };
}

/** Enough for six strings that ring over one another four times, with clicks on top. */
const VOICES = 32;
const FREE = -1;
/** Seconds in which a voice that is cut off dies. */
const CUT = 0.004;

/** Short sounds started on exact frames and mixed, each on its bus. Nothing is allocated while it plays. */
export class Voices {
  readonly #cut: number;
  readonly #bank: Float32Array[] = [];
  readonly #sound = new Int32Array(VOICES).fill(FREE);
  readonly #at = new Int32Array(VOICES);
  readonly #gain = new Float32Array(VOICES);
  readonly #bus = new Uint8Array(VOICES);
  readonly #choke = new Uint16Array(VOICES);
  /** Frames left of a voice that was cut off; 0: it was not. */
  readonly #dying = new Int32Array(VOICES);
  #next = 0;

  constructor(sampleRate: number) {
    this.#cut = Math.max(1, Math.round(CUT * sampleRate));
  }

  /** Adds to the sounds that `start` names by index, from index `first` on. */
  addSounds(first: number, sounds: readonly Float32Array[]): void {
    sounds.forEach((sound, i) => (this.#bank[first + i] = sound));
  }

  silence(): void {
    this.#sound.fill(FREE);
  }

  /** Starts sounding `index` of `soundings`, `offset` frames into the block that is mixed next. */
  start(soundings: PackedSoundings, index: number, offset: number): void {
    const sound = soundings.sound[index]!;
    if (!this.#bank[sound]) return;
    const choke = soundings.choke[index]!;
    if (choke > 0) this.#cutOff(choke);
    const v = this.#next;
    this.#next = (v + 1) % VOICES;
    this.#sound[v] = sound;
    this.#at[v] = -offset;
    this.#gain[v] = soundings.gain[index]!;
    this.#bus[v] = soundings.bus[index]!;
    this.#choke[v] = choke;
    this.#dying[v] = 0;
  }

  /** Adds `frames` of all that sounds to both sides, from element `from` on; `levels` holds a gain a frame for each bus. */
  mix(left: Float32Array, right: Float32Array, from: number, frames: number, levels: readonly Float32Array[]): void {
    for (let v = 0; v < VOICES; v++) {
      const sound = this.#sound[v]!;
      if (sound === FREE) continue;
      const samples = this.#bank[sound]!;
      const level = levels[this.#bus[v]!]!;
      const gain = this.#gain[v]!;
      let at = this.#at[v]!;
      let dying = this.#dying[v]!;
      for (let i = 0; i < frames; i++, at++) {
        if (at < 0) continue;
        if (at >= samples.length || dying === 1) {
          this.#sound[v] = FREE;
          break;
        }
        let value = samples[at]! * gain * level[i]!;
        if (dying > 1) value *= --dying / this.#cut;
        left[from + i]! += value;
        if (right !== left) right[from + i]! += value;
      }
      this.#at[v] = at;
      this.#dying[v] = dying;
    }
  }

  #cutOff(choke: number): void {
    for (let v = 0; v < VOICES; v++) {
      if (this.#sound[v] !== FREE && this.#choke[v] === choke && this.#dying[v] === 0) this.#dying[v] = this.#cut + 1;
    }
  }
}
