import { msg } from '@lit/localize';
import type { Ffts, RealFft } from '../../dsp/spectrum.js';

let loading: Promise<Ffts> | undefined;

/**
 * Loads the Fourier transform once, in a worker or in Node; rejects with an Error that says so when it cannot start. Its
 * WebAssembly is a file of our own; nothing comes from elsewhere.
 */
export function loadFfts(): Promise<Ffts> {
  loading ??= load().catch((error: unknown) => {
    loading = undefined;
    throw new Error(
      msg('what takes the sound apart could not start in this browser: close other pages, or try a newer browser'),
      { cause: error },
    );
  });
  return loading;
}

async function load(): Promise<Ffts> {
  const { default: start } = await import('@echogarden/pffft-wasm/simd');
  const wasm = await start();
  const made = new Map<number, RealFft>();
  return (size) => {
    const known = made.get(size);
    if (known) return known;
    const setup = wasm._pffft_new_setup(size, REAL);
    if (setup === 0) throw new RangeError(`pffft: found a size of ${size}; use a power of two from 64 on`);
    const [input, output, work] = [0, 0, 0].map(() => wasm._pffft_aligned_malloc(4 * size)) as [number, number, number];
    // Views die when the memory grows, so they are made anew then.
    let memory: ArrayBufferLike | undefined;
    let samples: Float32Array = new Float32Array(0);
    let parts = samples;
    const look = (): void => {
      if (memory === wasm.HEAPF32.buffer) return;
      memory = wasm.HEAPF32.buffer;
      samples = new Float32Array(memory, input, size);
      parts = new Float32Array(memory, output, size);
    };
    const fft: RealFft = {
      size,
      input() {
        look();
        return samples;
      },
      transform() {
        look();
        wasm._pffft_transform_ordered(setup, input, output, work, FORWARD);
        return parts;
      },
    };
    made.set(size, fft);
    return fft;
  };
}

/** As pffft.h counts them. */
const REAL = 0;
const FORWARD = 0;
