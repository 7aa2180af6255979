import { Resampler } from '../../src/dsp/resample.js';
import type { Pcm } from '../../src/dsp/pcm.js';
import type { EssentiaVector } from '../../src/analysis/evidence/tonality.js';
import { loadEssentia } from '../../src/platform/worker/essentia-loader.js';

/** The only rate that RhythmExtractor2013 knows. */
export const REFERENCE_RATE = 44100;

/** Both ways that RhythmExtractor2013 has; 'multifeature' is the better and by far the slower. */
export type ReferenceMethod = 'degara' | 'multifeature';

interface Extractor {
  RhythmExtractor2013(
    signal: EssentiaVector,
    maxTempo: number,
    method: ReferenceMethod,
    minTempo: number,
  ): { bpm: number; ticks: EssentiaVector; estimates: EssentiaVector; bpmIntervals: EssentiaVector };
}

interface EssentiaModule {
  readonly EssentiaJS: new (debug: boolean) => Extractor;
  arrayToVector(samples: Float32Array): EssentiaVector;
}

/** The sound as the reference takes it: mono at REFERENCE_RATE. */
export function referenceSignal(pcm: Pcm): Float32Array {
  const [left = new Float32Array(0), right = left] = pcm.channels;
  const mono = left.map((sample, i) => (sample + (right[i] as number)) / 2);
  if (pcm.sampleRate === REFERENCE_RATE) return mono;
  const resampler = new Resampler(pcm.sampleRate, REFERENCE_RATE);
  const parts = [resampler.push(mono), resampler.finish()];
  const joined = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  joined.set(parts[0] as Float32Array);
  joined.set(parts[1] as Float32Array, (parts[0] as Float32Array).length);
  return joined;
}

/**
 * Beats in seconds by essentia.js RhythmExtractor2013 with its default range of tempi (Zapata, Davies & Gómez 2014;
 * Degara et al. 2012): a tracker that shares nothing with ours. `signal`: see referenceSignal.
 */
export async function referenceTracker(): Promise<(signal: Float32Array, method: ReferenceMethod) => number[]> {
  // The loader takes off the listeners that the library puts on the process.
  await loadEssentia();
  const loaded = (await import('essentia.js/dist/essentia-wasm.umd.js')) as {
    EssentiaWASM?: EssentiaModule;
    default?: EssentiaModule;
  };
  const module = loaded.EssentiaWASM ?? loaded.default;
  if (!module) throw new Error('essentia.js: the module exports nothing');
  const { EssentiaJS, arrayToVector } = module;
  const algorithms = new EssentiaJS(false);
  return (signal, method) => {
    const vector = arrayToVector(signal);
    const { ticks, estimates, bpmIntervals } = algorithms.RhythmExtractor2013(vector, 208, method, 40);
    const beats = Array.from({ length: ticks.size() }, (_, i) => ticks.get(i));
    for (const used of [vector, ticks, estimates, bpmIntervals]) used.delete();
    return beats;
  };
}
