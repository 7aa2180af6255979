import binary from 'virtual:stretch-wasm';
import { decodeBase64 } from './base64.js';

/**
 * Time-stretching without change of pitch, sample by sample on demand: a thin binding of the WebAssembly of
 * signalsmith-stretch (MIT), which its own package offers only inside a processor that is loaded from a blob.
 *
 * `seek` gives it what lies before a place, then each `process` takes so much input and gives so much output. What comes
 * out is `outputLatency` frames of output behind what goes in, and needs `inputLatency` frames of input beyond it.
 */
export interface Stretch {
  readonly inputLatency: number;
  readonly outputLatency: number;
  /** Frames one call may take or give. */
  readonly capacity: number;
  /** Where the input of the next call is to be written, for each channel; read anew before each call. */
  input(channel: number): Float32Array;
  /** What the last `process` gave. */
  output(channel: number): Float32Array;
  /** `factor` 2 is an octave up; up to `limit` (cycles a sample) the tone's colour moves with it. */
  setTranspose(factor: number, limit: number): void;
  /** Starts anew with the `frames` of input that lie before. `rate`: input frames an output frame. */
  seek(frames: number, rate: number): void;
  process(inputFrames: number, outputFrames: number): void;
}

/** Makes an instance of a WebAssembly module: the pure folders know no platform. Returns its exports. */
export type Instantiate = (wasm: Uint8Array, imports: Record<string, Record<string, unknown>>) => unknown;

/** The names are those of the package's build, version 1.3.2; tests/dsp/stretch.test.ts notices when they change. */
interface Exports {
  readonly e: { readonly buffer: ArrayBufferLike; grow(pages: number): number };
  /** Constructors, then main. */
  f(): void;
  y(argc: number, argv: number): number;
  h(channels: number, frames: number): number;
  k(): number;
  l(): number;
  n(channels: number, sampleRate: number): void;
  q(factor: number, limit: number): void;
  v(frames: number, rate: number): void;
  w(inputFrames: number, outputFrames: number): void;
}

const PAGE = 65536;

/** `sampleRate` in Hz of input and output. Throws what `instantiate` throws. */
export function createStretch(instantiate: Instantiate, channels: number, sampleRate: number): Stretch {
  let seed = 1;
  const imports = {
    // The library wants random numbers to break ties of phase; the same ones each time make the same sound each time.
    a: (at: number, count: number): number => {
      const bytes = new Uint8Array(wasm.e.buffer, at, count);
      for (let i = 0; i < count; i++) {
        seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
        bytes[i] = seed >>> 24;
      }
      return 0;
    },
    b: (size: number): number => {
      try {
        wasm.e.grow(Math.ceil((size - wasm.e.buffer.byteLength) / PAGE));
        return 1;
      } catch {
        return 0;
      }
    },
    c: (to: number, from: number, count: number) => new Uint8Array(wasm.e.buffer).copyWithin(to, from, from + count),
    d: () => {
      throw new Error('The time-stretching stopped: it found no memory.');
    },
  };
  const wasm = instantiate(decodeBase64(binary), { a: imports }) as Exports;
  wasm.f();
  wasm.y(0, 0);
  wasm.n(channels, sampleRate);
  const [inputLatency, outputLatency] = [wasm.k(), wasm.l()];
  const capacity = inputLatency + outputLatency;
  const pointer = wasm.h(channels, capacity);
  let memory: ArrayBufferLike | undefined;
  let views: Float32Array[] = [];
  // Views die when the memory grows, so they are made anew then, and only then.
  const view = (index: number): Float32Array => {
    if (memory !== wasm.e.buffer) {
      memory = wasm.e.buffer;
      views = Array.from(
        { length: 2 * channels },
        (_, i) => new Float32Array(memory!, pointer + 4 * capacity * i, capacity),
      );
    }
    return views[index]!;
  };
  return {
    inputLatency,
    outputLatency,
    capacity,
    input: (channel) => view(channel),
    output: (channel) => view(channels + channel),
    setTranspose: (factor, limit) => wasm.q(factor, limit),
    seek: (frames, rate) => wasm.v(frames, rate),
    process: (inputFrames, outputFrames) => wasm.w(inputFrames, outputFrames),
  };
}
