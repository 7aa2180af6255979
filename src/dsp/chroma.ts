import type { SpectralPeaks } from './spectral-peaks.js';

/**
 * From spectral peaks to pitch classes: peaks on a semitone scale, whitening, notes by non-negative
 * least squares over harmonic patterns, folded to twelve. Source of the idea: Mauch & Dixon, ISMIR 2010 ("Approximate
 * note transcription for the improved identification of difficult chords"); here on peaks and semitones, which costs
 * a fraction of their three bins a semitone.
 */

/** Lowest and highest note, MIDI numbers: E1 to B7. */
export const LOWEST_NOTE = 28;
export const HIGHEST_NOTE = 107;
export const NOTES = HIGHEST_NOTE - LOWEST_NOTE + 1;

const WHITENING_REACH = 9;
const WHITENING_POWER = 0.7;
const HARMONIC_DECAY = 0.7;
const HARMONICS = 8;
const ITERATIONS = 20;
/** Semitones of a note's harmonics above it (those between two go to the nearer), and their weights. */
const STEPS = Int32Array.from({ length: HARMONICS }, (_, i) => Math.round(12 * Math.log2(i + 1)));
const WEIGHTS = Float64Array.from({ length: HARMONICS }, (_, i) => HARMONIC_DECAY ** i);
/** Notes from this one on have harmonics above the highest note. */
const CUT_SHORT = Math.max(0, NOTES - (STEPS[HARMONICS - 1] as number));
/** Fainter notes are left as they are. */
const FAINT = 1e-8;
/** Chroma: the middle of the keyboard counts most. Bass: full up to 12 semitones above E1, nothing above about B3. */
const MIDDLE_NOTE = 62;
const MIDDLE_SPREAD = 14;
const BASS_FULL = 45;
const BASS_END = 59;

/** Working memory for noteSalience; make one and use it for all frames. */
export interface NoteScratch {
  readonly notes: Float32Array;
  readonly white: Float32Array;
  readonly model: Float32Array;
  readonly gain: Float32Array;
  /** Sum of the magnitudes of the last spectrum's peaks. */
  strength: number;
}

export function noteScratch(): NoteScratch {
  return {
    notes: new Float32Array(NOTES),
    white: new Float32Array(NOTES),
    model: new Float32Array(NOTES),
    gain: new Float32Array(NOTES),
    strength: 0,
  };
}

/**
 * Strength of each note in frame `frame` of `peaks`; `tuning` is the cents above A440 at which the music is tuned.
 * Returns scratch.notes: NOTES values >= 0, from LOWEST_NOTE.
 */
export function noteSalience(peaks: SpectralPeaks, frame: number, tuning: number, scratch: NoteScratch): Float32Array {
  const { white, notes } = scratch;
  scratch.strength = peaksOnSemitones(peaks, frame, tuning, white);
  whiten(white, scratch.model);
  transcribe(white, notes, scratch.model, scratch.gain);
  return notes;
}

/** Returns the sum of all that was put on a semitone. */
function peaksOnSemitones(peaks: SpectralPeaks, frame: number, tuning: number, into: Float32Array): number {
  into.fill(0);
  const { starts, pitches, magnitudes } = peaks;
  const off = tuning / 100;
  const end = starts[frame + 1] as number;
  for (let p = starts[frame] as number; p < end; p++) {
    const note = (pitches[p] as number) - off;
    const nearest = Math.round(note);
    const index = nearest - LOWEST_NOTE;
    if (index < 0 || index >= NOTES) continue;
    const near = Math.cos(Math.PI * (note - nearest));
    into[index] = (into[index] as number) + (magnitudes[p] as number) * near * near;
  }
  let sum = 0;
  for (let i = 0; i < NOTES; i++) sum += into[i] as number;
  return sum;
}

/** Divides by a power of the mean over the octave and a half around: what is loud everywhere counts less. */
function whiten(values: Float32Array, means: Float32Array): void {
  let overall = 0;
  for (let i = 0; i < NOTES; i++) overall += values[i] as number;
  const floor = (overall / NOTES) * 0.1 + 1e-9;
  for (let i = 0; i < NOTES; i++) {
    const from = Math.max(0, i - WHITENING_REACH);
    const to = Math.min(NOTES - 1, i + WHITENING_REACH);
    let sum = 0;
    for (let j = from; j <= to; j++) sum += values[j] as number;
    means[i] = sum / (to - from + 1);
  }
  for (let i = 0; i < NOTES; i++) values[i] = (values[i] as number) / ((means[i] as number) + floor) ** WHITENING_POWER;
}

/** Multiplicative updates (Lee & Seung 2001) for the non-negative notes whose harmonic patterns add up to `target`. */
function transcribe(target: Float32Array, notes: Float32Array, model: Float32Array, gain: Float32Array): void {
  for (let n = 0; n < NOTES; n++) {
    gain[n] = underPattern(target, n);
    notes[n] = gain[n] as number;
  }
  for (let round = 0; round < ITERATIONS; round++) {
    model.fill(0);
    for (let n = 0; n < NOTES; n++) {
      const value = notes[n] as number;
      if (value < FAINT) continue;
      const harmonics = n < CUT_SHORT ? HARMONICS : harmonicsOf(n);
      for (let h = 0; h < harmonics; h++) {
        const at = n + (STEPS[h] as number);
        model[at] = (model[at] as number) + (WEIGHTS[h] as number) * value;
      }
    }
    for (let n = 0; n < NOTES; n++) {
      const value = notes[n] as number;
      if (value >= FAINT) notes[n] = (value * (gain[n] as number)) / (1e-9 + underPattern(model, n));
    }
  }
}

/** The sum of `values` under the harmonic pattern of note `n`. */
function underPattern(values: Float32Array, n: number): number {
  const harmonics = n < CUT_SHORT ? HARMONICS : harmonicsOf(n);
  let sum = 0;
  for (let h = 0; h < harmonics; h++) sum += (WEIGHTS[h] as number) * (values[n + (STEPS[h] as number)] as number);
  return sum;
}

/** How many harmonics of note `n` are notes themselves. */
function harmonicsOf(n: number): number {
  let count = HARMONICS;
  while (n + (STEPS[count - 1] as number) >= NOTES) count--;
  return count;
}

/** Folds notes to 12 pitch classes from C, the middle of the keyboard weighted most. */
export function foldChroma(notes: Float32Array, into: Float32Array): void {
  fold(notes, into, CHROMA_WEIGHTS);
}

/** Folds the low notes to 12 pitch classes from C. */
export function foldBass(notes: Float32Array, into: Float32Array): void {
  fold(notes, into, BASS_WEIGHTS);
}

function fold(notes: Float32Array, into: Float32Array, weights: Float32Array): void {
  into.fill(0);
  for (let i = 0; i < NOTES; i++) {
    const pitch = (LOWEST_NOTE + i) % 12;
    into[pitch] = (into[pitch] as number) + (notes[i] as number) * (weights[i] as number);
  }
}

const CHROMA_WEIGHTS = Float32Array.from({ length: NOTES }, (_, i) =>
  Math.exp(-0.5 * ((LOWEST_NOTE + i - MIDDLE_NOTE) / MIDDLE_SPREAD) ** 2),
);
const BASS_WEIGHTS = Float32Array.from({ length: NOTES }, (_, i) =>
  Math.min(1, Math.max(0, (BASS_END - LOWEST_NOTE - i) / (BASS_END - BASS_FULL))),
);
