import { attackSpectra } from '../dsp/attack-spectra.js';
import type { Ffts } from '../dsp/spectrum.js';
import { tuningOf } from '../dsp/tuning.js';
import type { Evidence } from './evidence/evidence.js';
import { harmonicChange } from './evidence/features/harmonic-change.js';
import { harmonyTracks } from './evidence/harmony-evidence.js';
import { HARMONY_RATE, harmonySpectra } from './evidence/harmony-spectra.js';
import { heardBeats } from './evidence/network/heard-beats.js';
import { heardTracks, hearRhythm, type RhythmNet } from './evidence/network/rhythm-net.js';
import { checkpoint, type Progress, type Step } from './progress.js';
import { RHYTHM_RATE, rhythmTracks } from './evidence/rhythm-evidence.js';
import { ANALYSIS_RATE, type AnalysisSignal } from './evidence/signal.js';
import { SOLVE_FROM } from './solve.js';
import { findKey, type Essentia } from './evidence/tonality.js';

/** Version of the analysis; a map keeps the version that made it. Raise it when results change. */
export const ANALYSIS_VERSION = '3';

/** What the analysis is given: Fourier transforms, the signal library and the rhythm network, each from its loader. */
export interface AnalysisTools {
  readonly ffts: Ffts;
  readonly essentia: Essentia;
  /** May still be loading; asked for when the rest has been heard. */
  readonly net: RhythmNet | Promise<RhythmNet>;
}

/** Where in the whole analysis each part begins. */
const TUNING_FROM = 0.01;
const KEY_FROM = 0.1;
const FEATURES_FROM = 0.15;
const ATTACKS_FROM = 0.2;
const NETWORK_FROM = 0.3;

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
  step('tuning and key', TUNING_FROM);
  const spectra = harmonySpectra(signal, tools.ffts, part('tuning and key', TUNING_FROM, KEY_FROM));
  const tuning = tuningOf(spectra.peaks);
  const key = findKey(signal, tuning, tools.essentia);
  const harmony = harmonyTracks(spectra, tuning, part('features', FEATURES_FROM, ATTACKS_FROM));
  const { onsets, mel } = attackSpectra(
    signal,
    ANALYSIS_RATE,
    RHYTHM_RATE,
    tools.ffts,
    part('features', ATTACKS_FROM, NETWORK_FROM),
  );
  const change = harmonicChange(spectra.peaks, HARMONY_RATE, tuning, RHYTHM_RATE, onsets.frames);
  const rhythm = rhythmTracks(signal, onsets, change);
  step('features', NETWORK_FROM);
  const heard = await hearRhythm(mel, await tools.net, part('features', NETWORK_FROM, SOLVE_FROM));
  step('features', SOLVE_FROM);
  progress.found?.(heardBeats(heard));
  return {
    version: ANALYSIS_VERSION,
    duration: signal.length / ANALYSIS_RATE,
    tuning,
    ...(key ? { key } : {}),
    tracks: { ...rhythm, ...harmony, ...heardTracks(heard) },
  };
}
