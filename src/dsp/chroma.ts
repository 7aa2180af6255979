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
const ITERATIONS = 20;
/** Weights of a note's second to eighth harmonic; they lie 12, 19, 24, 28, 31, 34 and 36 semitones above it, or nearly so. */
const HARMONIC_DECAY = 0.7;
const [W2, W3, W4, W5, W6, W7, W8] = [1, 2, 3, 4, 5, 6, 7].map((i) => HARMONIC_DECAY ** i) as Seven;
type Seven = [number, number, number, number, number, number, number];
/** Semitones of the highest harmonic: so much room, always 0, lies below the notes and above the model. */
const ROOM = 36;
/** Chroma: the middle of the keyboard counts most. Bass: full up to 12 semitones above E1, nothing above about B3. */
const MIDDLE_NOTE = 62;
const MIDDLE_SPREAD = 14;
const BASS_FULL = 45;
const BASS_END = 59;

/** Working memory for noteSalience; make one and use it for all frames. */
export interface NoteScratch {
  /** From LOWEST_NOTE - ROOM on. */
  readonly notes: Float32Array;
  /** From LOWEST_NOTE on, like the rest, with ROOM above where harmonics are added up. */
  readonly white: Float32Array;
  readonly model: Float32Array;
  readonly gain: Float32Array;
  /** Sum of the magnitudes of the last spectrum's peaks. */
  strength: number;
}

export function noteScratch(): NoteScratch {
  return {
    notes: new Float32Array(ROOM + NOTES),
    white: new Float32Array(NOTES + ROOM),
    model: new Float32Array(NOTES + ROOM),
    gain: new Float32Array(NOTES),
    strength: 0,
  };
}

/**
 * Strength of each note in frame `frame` of `peaks`; `tuning` is the cents above A440 at which the music is tuned.
 * Returns NOTES values >= 0, from LOWEST_NOTE, valid until the next call.
 */
export function noteSalience(peaks: SpectralPeaks, frame: number, tuning: number, scratch: NoteScratch): Float32Array {
  const { white, notes } = scratch;
  scratch.strength = peaksOnSemitones(peaks, frame, tuning, white);
  whiten(white, scratch.gain);
  transcribe(white, notes, scratch.model, scratch.gain);
  return notes.subarray(ROOM);
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
    notes[ROOM + n] = gain[n] as number;
  }
  for (let round = 0; round < ITERATIONS; round++) {
    for (let n = 0; n < NOTES; n++) model[n] = fromBelow(notes, ROOM + n);
    for (let n = 0; n < NOTES; n++)
      notes[ROOM + n] = ((notes[ROOM + n] as number) * (gain[n] as number)) / (1e-9 + underPattern(model, n));
  }
}

// Written out, because this is most of the work: a loop over the harmonics takes three times as long.
/** The sum of `v` under the harmonic pattern of the note at `n`. */
function underPattern(v: Float32Array, n: number): number {
  return (
    v[n]! +
    (W2 * v[n + 12]! + W3 * v[n + 19]! + W4 * v[n + 24]! + W5 * v[n + 28]!) +
    (W6 * v[n + 31]! + W7 * v[n + 34]! + W8 * v[n + 36]!)
  );
}

/** What the notes `v` put on the place `n`: the note there, and harmonics of those below. */
function fromBelow(v: Float32Array, n: number): number {
  return (
    v[n]! +
    (W2 * v[n - 12]! + W3 * v[n - 19]! + W4 * v[n - 24]! + W5 * v[n - 28]!) +
    (W6 * v[n - 31]! + W7 * v[n - 34]! + W8 * v[n - 36]!)
  );
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
