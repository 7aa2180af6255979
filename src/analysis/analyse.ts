import type { Evidence } from './evidence.js';
import { harmonyTracks } from './harmony-evidence.js';
import { heardTracks, hearRhythm, type RhythmNet } from './network/rhythm-net.js';
import { checkpoint, type Progress, type Step } from './progress.js';
import { rhythmTracks } from './rhythm-evidence.js';
import { ANALYSIS_RATE, type AnalysisSignal } from './signal.js';
import { SOLVE_FROM } from './solve.js';
import { findTonality, type Essentia } from './tonality.js';

/** Version of the analysis; a map keeps the version that made it. Raise it when results change. */
export const ANALYSIS_VERSION = '2';

/** What the analysis is given: the signal library and the rhythm network, each from its loader. */
export interface AnalysisTools {
  readonly essentia: Essentia;
  /** May still be loading; asked for when the rest has been heard. */
  readonly net: RhythmNet | Promise<RhythmNet>;
}

/** Where in the whole analysis each part begins. */
const TONALITY_FROM = 0.01;
const HARMONY_FROM = 0.14;
const RHYTHM_FROM = 0.24;
const NETWORK_FROM = 0.36;

/**
 * All that is known of a recording: tuning and key, rhythm, harmony and timbre. `signal` is mono at ANALYSIS_RATE.
 * Rejects with Cancelled when `progress` says so, with RangeError when the signal is empty.
 */
export async function analyse(signal: AnalysisSignal, tools: AnalysisTools, progress: Progress): Promise<Evidence> {
  if (signal.length === 0) throw new RangeError('analyse: found no samples; give it a decoded recording');
  const step = (name: Step, done: number): void => {
    checkpoint(progress);
    progress.report(name, done);
  };
  const part = (name: Step, from: number, to: number) => (done: number) => step(name, from + (to - from) * done);
  step('tuning and key', TONALITY_FROM);
  const { tuning, key } = findTonality(signal, tools.essentia);
  step('features', HARMONY_FROM);
  const harmony = harmonyTracks(signal, tuning, part('features', HARMONY_FROM, RHYTHM_FROM));
  const share = NETWORK_FROM - RHYTHM_FROM;
  const rhythm = rhythmTracks(signal, tuning, {
    cancelled: progress.cancelled,
    report: (name, done) => progress.report(name, RHYTHM_FROM + share * done),
  });
  const heard = await hearRhythm(signal, await tools.net, part('features', NETWORK_FROM, SOLVE_FROM));
  return {
    version: ANALYSIS_VERSION,
    duration: signal.length / ANALYSIS_RATE,
    tuning,
    ...(key ? { key } : {}),
    tracks: { ...rhythm, ...harmony, ...heardTracks(heard) },
  };
}
