import type { Cents } from '../music/units.js';
import type { SpectralPeaks } from './spectral-peaks.js';

/** MIDI numbers between which partials tell the tuning, 110 to 1319 Hz: lower ones are measured too coarsely. */
const LOWEST = 45;
const HIGHEST = 88;

/**
 * How far above A440 the music is tuned, in whole cents, -50 to 50; 0 where there are no peaks. The mean angle of the
 * peaks' places between two semitones, weighted by their magnitudes (Dressler & Streich, "Tuning frequency estimation
 * using circular statistics", ISMIR 2007).
 */
export function tuningOf({ pitches, magnitudes }: SpectralPeaks): Cents {
  let re = 0;
  let im = 0;
  for (let p = 0; p < pitches.length; p++) {
    const pitch = pitches[p] as number;
    if (pitch < LOWEST || pitch > HIGHEST) continue;
    const magnitude = magnitudes[p] as number;
    re += magnitude * Math.cos(2 * Math.PI * pitch);
    im += magnitude * Math.sin(2 * Math.PI * pitch);
  }
  // Adding 0 makes 0 of -0.
  return Math.round((50 * Math.atan2(im, re)) / Math.PI) + 0;
}
