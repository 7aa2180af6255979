import { msg, str } from '@lit/localize';
import type { InferenceSession, Tensor } from 'onnxruntime-web/wasm';
import type { RhythmNet } from '../../analysis/evidence/network/rhythm-net.js';

let loading: Promise<RhythmNet> | undefined;

/**
 * Loads the rhythm network once, in a worker or in Node; rejects with an Error that says so when it cannot start.
 * Weights and WebAssembly are files of our own; nothing comes from elsewhere.
 */
export function loadRhythmNet(): Promise<RhythmNet> {
  loading ??= load().catch((error: unknown) => {
    loading = undefined;
    throw new Error(
      msg('what hears the beats could not start in this browser: close other pages, or try a newer browser'),
      { cause: error },
    );
  });
  return loading;
}

async function load(): Promise<RhythmNet> {
  const ort = await import('onnxruntime-web/wasm');
  // One thread: several need SharedArrayBuffer, which a plain static host does not allow.
  ort.env.wasm.numThreads = 1;
  if (!import.meta.env.SSR) {
    const wasm = (await import('onnxruntime-web/ort-wasm-simd-threaded.wasm?url')).default;
    ort.env.wasm.wasmPaths = { wasm };
  }
  const start = async (part: Part): Promise<InferenceSession> => ort.InferenceSession.create(await weights(part));
  const [front, song] = [await start('front'), await start('song')];
  return {
    front: async (mel, frames) => {
      const { heard } = await front.run({ mel: new ort.Tensor('float32', mel, [1, frames, mel.length / frames]) });
      return dataOf(heard);
    },
    song: async (features, frames) => {
      const heard = new ort.Tensor('float32', features, [1, features.length / frames, frames]);
      const { act } = await song.run({ heard });
      return dataOf(act);
    },
  };
}

async function dataOf(tensor: Tensor | undefined): Promise<Float32Array> {
  if (!tensor) throw new Error(msg('what hears the beats gave no answer: try again'));
  return (await tensor.getData()) as Float32Array;
}

/** The network's files: what hears the frames, and what hears the whole song in them. */
type Part = 'front' | 'song';

async function weights(part: Part): Promise<Uint8Array> {
  if (import.meta.env.SSR) {
    const { readFile } = await import('node:fs/promises');
    // From src/platform/worker and from dist/cli alike; a name of its own, or the build would take the file for one of the page's.
    const top = import.meta.url.replace(/(src\/platform|dist)\/[^/]+\/[^/]+$/, '');
    const file = `src/analysis/evidence/network/rhythm-${part}.onnx`;
    return readFile(new URL(file, top));
  }
  const { default: url } = await (part === 'front'
    ? import('../../analysis/evidence/network/rhythm-front.onnx?url')
    : import('../../analysis/evidence/network/rhythm-song.onnx?url'));
  const answer = await fetch(url);
  if (!answer.ok)
    throw new Error(
      msg(str`a part of the program could not be loaded (${answer.status}): check the connection and try again`),
    );
  return new Uint8Array(await answer.arrayBuffer());
}
