import { decodeFile } from '../../src/platform/decode/node.js';
import { ANALYSIS_RATE, type AnalysisSignal } from '../../src/analysis/evidence/signal.js';
import type { Recording } from '../../src/model/song-map.js';
import { REFERENCE_RATE, referenceSignal } from '../support/reference-beats.js';
import { samplePath } from '../support/sample-evidence.js';

/** The sample that benchmarks are made of. */
export const BENCH_SAMPLE = 'kites-over-brennick.ogg';

/** A recording as the analysis and as the reference tracker take it. */
export interface BenchSong {
  readonly name: string;
  readonly recording: Recording;
  /** Mono at ANALYSIS_RATE. */
  readonly signal: AnalysisSignal;
  /** Mono at REFERENCE_RATE. */
  readonly reference: Float32Array;
}

/** A file as it is. */
export async function songFromFile(path: string): Promise<BenchSong> {
  const { signal, pcm, recording } = await decodeFile(path);
  return { name: recording.fileName, recording, signal, reference: referenceSignal(pcm) };
}

/** The bundled sample, repeated or cut to so many seconds. */
export async function songOfLength(seconds: number): Promise<BenchSong> {
  const { signal, reference, recording } = await songFromFile(samplePath(BENCH_SAMPLE));
  return {
    name: `${BENCH_SAMPLE} repeated to ${Math.round(seconds / 60)} minutes`,
    recording: { ...recording, duration: seconds },
    signal: repeated(signal, seconds * ANALYSIS_RATE),
    reference: repeated(reference, seconds * REFERENCE_RATE),
  };
}

function repeated(signal: Float32Array, length: number): Float32Array {
  const out = new Float32Array(length);
  for (let at = 0; at < length; at += signal.length) {
    out.set(signal.subarray(0, Math.min(signal.length, length - at)), at);
  }
  return out;
}
