import { msg } from '@lit/localize';
import type { Essentia, EssentiaVector } from '../../analysis/evidence/tonality.js';

/** The WebAssembly module of essentia.js as it exports itself once it has started. */
interface EssentiaModule {
  readonly EssentiaJS: new (debug: boolean) => Omit<Essentia, 'arrayToVector'>;
  arrayToVector(samples: Float32Array): EssentiaVector;
}

let loading: Promise<Essentia> | undefined;

/**
 * Loads essentia.js once, in a worker or in Node; rejects with an Error that says so when it cannot start. Its
 * WebAssembly is inside its JavaScript: nothing is fetched.
 */
export function loadEssentia(): Promise<Essentia> {
  loading ??= load().catch((error: unknown) => {
    loading = undefined;
    throw new Error(
      msg('what finds the key could not start in this browser: close other pages, or try a newer browser'),
      { cause: error },
    );
  });
  return loading;
}

async function load(): Promise<Essentia> {
  const module = import.meta.env.SSR ? await loadInNode() : await loadInWorker();
  const algorithms = new module.EssentiaJS(false);
  return {
    arrayToVector: (samples) => module.arrayToVector(samples),
    KeyExtractor: (...args) => algorithms.KeyExtractor(...args),
  };
}

async function loadInWorker(): Promise<EssentiaModule> {
  const { EssentiaWASM } = (await import('essentia.js/dist/essentia-wasm.es.js')) as {
    EssentiaWASM: EssentiaModule;
  };
  return EssentiaWASM;
}

/** The build for Node catches every uncaught error of the process and rethrows it; those listeners are taken off again. */
async function loadInNode(): Promise<EssentiaModule> {
  const events = ['uncaughtException', 'unhandledRejection'] as const;
  const before = events.map((event) => process.rawListeners(event));
  const loaded = (await import('essentia.js/dist/essentia-wasm.umd.js')) as {
    EssentiaWASM?: EssentiaModule;
    default?: EssentiaModule;
  };
  events.forEach((event, i) => {
    for (const listener of process.rawListeners(event)) {
      if (!before[i]?.includes(listener)) process.removeListener(event, listener as (...args: unknown[]) => void);
    }
  });
  const module = loaded.EssentiaWASM ?? loaded.default;
  if (!module) throw new Error('essentia.js: the module exports nothing');
  return module;
}
