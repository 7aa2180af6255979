import { logMelMaker, MEL_RATE, MEL_SIZE, type LogMel } from './log-mel.js';
import { ONSET_SIZE, onsetMaker, type Onsets } from './onset.js';
import { spectrometer, type Ffts } from './spectrum.js';

/** What short spectra tell: where something is struck, and what the rhythm network hears. */
export interface AttackSpectra {
  readonly onsets: Onsets;
  readonly mel: LogMel;
}

/**
 * Onsets, `rate` frames a second (a multiple of MEL_RATE), and log-mel spectrogram of a mono signal, both from the same
 * spectra. `report` is told the share done, 0 to 1, and may throw to stop.
 */
export function attackSpectra(
  signal: Float32Array,
  sampleRate: number,
  rate: number,
  ffts: Ffts,
  report: (done: number) => void = () => undefined,
): AttackSpectra {
  const every = rate / MEL_RATE;
  if (!Number.isInteger(every) || ONSET_SIZE !== MEL_SIZE)
    throw new RangeError(`attackSpectra: found ${rate} frames a second; give a multiple of ${MEL_RATE}`);
  const { at } = spectrometer(ONSET_SIZE, ffts);
  const onsets = onsetMaker(signal, sampleRate, rate);
  const mel = logMelMaker(signal, sampleRate);
  for (let i = onsets.from; i < Math.max(onsets.to, mel.frames * every); i++) {
    const spectrum = at(signal, (i * sampleRate) / rate);
    if (i < onsets.to) onsets.add(i, spectrum);
    if (i >= 0 && i % every === 0 && i / every < mel.frames) mel.add(i / every, spectrum);
    if (i % 1024 === 0) report(i / onsets.to);
  }
  return { onsets: onsets.finish(), mel: mel.finish() };
}
