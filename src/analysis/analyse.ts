import type { Evidence } from './evidence.js';
import { harmonyTracks } from './harmony-evidence.js';
import { checkpoint, type Progress, type Step } from './progress.js';
import { rhythmTracks } from './rhythm-evidence.js';
import { ANALYSIS_RATE, type AnalysisSignal } from './signal.js';
import { SOLVE_FROM } from './solve.js';
import { findTonality, type Essentia } from './tonality.js';

/** Version of the analysis; a map keeps the version that made it. Raise it when results change. */
export const ANALYSIS_VERSION = '1';

/** Where in the whole analysis each part begins. */
const TONALITY_FROM = 0.01;
const HARMONY_FROM = 0.2;
const RHYTHM_FROM = 0.4;

/**
 * All that is known of a recording: tuning and key, rhythm, harmony and timbre. `signal` is mono at ANALYSIS_RATE,
 * `essentia` comes from the loader. Throws Cancelled when `progress` says so, RangeError when the signal is empty.
 */
export function analyse(signal: AnalysisSignal, essentia: Essentia, progress: Progress): Evidence {
  if (signal.length === 0) throw new RangeError('analyse: found no samples; give it a decoded recording');
  const step = (name: Step, done: number): void => {
    checkpoint(progress);
    progress.report(name, done);
  };
  step('tuning and key', TONALITY_FROM);
  const { tuning, key } = findTonality(signal, essentia);
  step('features', HARMONY_FROM);
  const harmony = harmonyTracks(signal, tuning, (done) =>
    step('features', HARMONY_FROM + (RHYTHM_FROM - HARMONY_FROM) * done),
  );
  const rhythm = rhythmTracks(signal, tuning, {
    cancelled: progress.cancelled,
    report: (name, done) => progress.report(name, RHYTHM_FROM + (SOLVE_FROM - RHYTHM_FROM) * done),
  });
  return {
    version: ANALYSIS_VERSION,
    duration: signal.length / ANALYSIS_RATE,
    tuning,
    ...(key ? { key } : {}),
    tracks: { ...rhythm, ...harmony },
  };
}
