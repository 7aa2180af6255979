import { tonicName } from '../../music/key.js';
import { isPitchName, pitchClassOf } from '../../music/pitch.js';
import type { Cents } from '../../music/units.js';
import type { Key } from '../../model/song-map.js';
import { ANALYSIS_RATE, type AnalysisSignal } from './signal.js';

/** A vector in the memory of essentia.js; it must be deleted. */
export interface EssentiaVector {
  size(): number;
  get(index: number): number;
  delete(): void;
}

/** What the analysis calls of essentia.js: whole-signal algorithms with all their parameters, in the library's order. */
export interface Essentia {
  arrayToVector(samples: Float32Array): EssentiaVector;
  KeyExtractor(
    audio: EssentiaVector,
    averageDetuningCorrection: boolean,
    frameSize: number,
    hopSize: number,
    hpcpSize: number,
    maxFrequency: number,
    maximumSpectralPeaks: number,
    minFrequency: number,
    pcpThreshold: number,
    profileType: string,
    sampleRate: number,
    spectralPeaksThreshold: number,
    tuningFrequency: number,
    weightType: string,
    windowType: string,
  ): { key: string; scale: string; strength: number };
}

/** Key profiles of Sha'ath 2011, made for popular music: on songs of known key they erred least of those on offer. */
const KEY_PROFILE = 'shaath';
const FRAME = 4096;
/** Frames of FRAME samples looked at, spread over the song. On 28 songs all frames found another key once, half as many twice. */
const MOST_FRAMES = 330;

/**
 * Key of a whole signal at ANALYSIS_RATE whose tuning lies `tuning` cents above A440, by essentia.js KeyExtractor; none
 * where nothing sounds.
 */
export function findKey(signal: AnalysisSignal, tuning: Cents, essentia: Essentia): Key | undefined {
  const every = Math.max(1, Math.ceil(signal.length / FRAME / MOST_FRAMES));
  const vector = essentia.arrayToVector(framesEvery(signal, every));
  try {
    const found = essentia.KeyExtractor(
      vector,
      true,
      FRAME,
      FRAME,
      12,
      3500,
      60,
      25,
      0.2,
      KEY_PROFILE,
      ANALYSIS_RATE,
      0.0001,
      440 * 2 ** (tuning / 1200),
      'cosine',
      'hann',
    );
    return keyOf(found);
  } finally {
    vector.delete();
  }
}

/**
 * Every `every`-th frame of a signal, end to end: all that KeyExtractor looks at in it with a hop of `every` frames, a tenth of a
 * long song, which then need not be copied whole into WebAssembly. The first frame is centred on the first sample.
 */
export function framesEvery(signal: AnalysisSignal, every: number): AnalysisSignal {
  if (every === 1) return signal;
  const half = FRAME / 2;
  const count = Math.ceil((signal.length + half) / (FRAME * every));
  const frames = new Float32Array(count * FRAME - half);
  let end = 0;
  for (let i = 0; i < count; i++) {
    const from = i * FRAME * every - half;
    const frame = signal.subarray(Math.max(0, from), from + FRAME);
    frames.set(frame, end);
    end += frame.length;
  }
  return frames.subarray(0, end);
}

function keyOf(found: { key: string; scale: string; strength: number }): Key | undefined {
  if (!isPitchName(found.key) || !(found.strength > 0)) return undefined;
  const mode = found.scale === 'minor' ? 'minor' : 'major';
  return { tonic: tonicName(pitchClassOf(found.key), mode), mode, confidence: Math.min(1, found.strength) };
}
