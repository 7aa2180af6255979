import { HIGHEST_NOTE, LOWEST_NOTE } from '../../dsp/chroma.js';
import { peakGatherer, type SpectralPeaks } from '../../dsp/spectral-peaks.js';
import { melCepstrum } from '../../dsp/timbre.js';
import { spectrometer, type Ffts } from '../../dsp/spectrum.js';
import { TIMBRE_SIZE } from './evidence.js';
import { ANALYSIS_RATE, type AnalysisSignal } from './signal.js';

/** Frames a second of the long spectra and of the tracks made of them. */
export const HARMONY_RATE = 10;
const WINDOW = 8192;

/** What long spectra tell of a recording, before its tuning is known. */
export interface HarmonySpectra {
  readonly peaks: SpectralPeaks;
  /** TIMBRE_SIZE cepstral coefficients a frame. */
  readonly timbre: Float32Array;
}

/** Spectra of a signal at ANALYSIS_RATE, HARMONY_RATE a second. `report` is told the share done, 0 to 1, and may throw to stop. */
export function harmonySpectra(
  signal: AnalysisSignal,
  ffts: Ffts,
  report: (done: number) => void = () => undefined,
): HarmonySpectra {
  const { at, bins } = spectrometer(WINDOW, ffts);
  const binHz = ANALYSIS_RATE / WINDOW;
  const count = Math.floor((signal.length / ANALYSIS_RATE) * HARMONY_RATE) + 1;
  const mel = melCepstrum(bins, binHz, TIMBRE_SIZE);
  // A quarter tone beyond the notes on each side, and another for the tuning.
  const peaks = peakGatherer(count, binHz, hertz(LOWEST_NOTE - 1), hertz(HIGHEST_NOTE + 1));
  const timbre = new Float32Array(count * TIMBRE_SIZE);
  for (let i = 0; i < count; i++) {
    if (i % 64 === 0) report(i / count);
    const spectrum = at(signal, (i * ANALYSIS_RATE) / HARMONY_RATE);
    peaks.add(spectrum);
    mel.cepstrum(spectrum, timbre.subarray(i * TIMBRE_SIZE, (i + 1) * TIMBRE_SIZE));
  }
  report(1);
  return { peaks: peaks.finish(), timbre };
}

function hertz(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}
