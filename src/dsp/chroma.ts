/**
 * From a magnitude spectrum to pitch classes: spectral peaks on a semitone scale, whitening, notes by non-negative
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
/** Semitones of a note's harmonics above it, and their weights; those between two semitones go to the nearer. */
const PATTERN = Array.from({ length: HARMONICS }, (_, i) => ({
  step: Math.round(12 * Math.log2(i + 1)),
  weight: HARMONIC_DECAY ** i,
}));
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
 * Strength of each note in a magnitude spectrum. `binHz` is the width of a bin, `tuning` the cents above A440 at which
 * the music is tuned. Returns scratch.notes: NOTES values >= 0, from LOWEST_NOTE.
 */
export function noteSalience(
  spectrum: Float32Array,
  binHz: number,
  tuning: number,
  scratch: NoteScratch,
): Float32Array {
  const { white, notes } = scratch;
  peaksOnSemitones(spectrum, binHz, tuning, white);
  scratch.strength = white.reduce((sum, v) => sum + v, 0);
  whiten(white, scratch.model);
  transcribe(white, notes, scratch.model, scratch.gain);
  return notes;
}

function peaksOnSemitones(spectrum: Float32Array, binHz: number, tuning: number, into: Float32Array): void {
  into.fill(0);
  const reference = 440 * 2 ** (tuning / 1200);
  const low = Math.max(2, Math.floor((reference * 2 ** ((LOWEST_NOTE - 0.5 - 69) / 12)) / binHz));
  const high = Math.min(spectrum.length - 2, Math.ceil((reference * 2 ** ((HIGHEST_NOTE + 0.5 - 69) / 12)) / binHz));
  for (let k = low; k <= high; k++) {
    const here = spectrum[k] ?? 0;
    const before = spectrum[k - 1] ?? 0;
    const after = spectrum[k + 1] ?? 0;
    if (here <= before || here < after || here < 1e-6) continue;
    // Parabola through the logarithms: exact for a Gaussian main lobe, within a few cents for a Hann window.
    const a = Math.log(before + 1e-9);
    const b = Math.log(here + 1e-9);
    const c = Math.log(after + 1e-9);
    const shift = (0.5 * (a - c)) / (a - 2 * b + c);
    const note = 69 + 12 * Math.log2(((k + shift) * binHz) / reference);
    const nearest = Math.round(note);
    const index = nearest - LOWEST_NOTE;
    if (index < 0 || index >= NOTES) continue;
    const off = Math.cos(Math.PI * (note - nearest));
    into[index] = (into[index] ?? 0) + here * off * off;
  }
}

/** Divides by a power of the mean over the octave and a half around: what is loud everywhere counts less. */
function whiten(values: Float32Array, means: Float32Array): void {
  let overall = 0;
  for (const v of values) overall += v;
  const floor = (overall / NOTES) * 0.1 + 1e-9;
  for (let i = 0; i < NOTES; i++) {
    const from = Math.max(0, i - WHITENING_REACH);
    const to = Math.min(NOTES - 1, i + WHITENING_REACH);
    let sum = 0;
    for (let j = from; j <= to; j++) sum += values[j] ?? 0;
    means[i] = sum / (to - from + 1);
  }
  for (let i = 0; i < NOTES; i++) values[i] = (values[i] ?? 0) / ((means[i] ?? 0) + floor) ** WHITENING_POWER;
}

/** Multiplicative updates (Lee & Seung 2001) for the non-negative notes whose harmonic patterns add up to `target`. */
function transcribe(target: Float32Array, notes: Float32Array, model: Float32Array, gain: Float32Array): void {
  for (let n = 0; n < NOTES; n++) {
    let g = 0;
    for (const { step, weight } of PATTERN) g += weight * (target[n + step] ?? 0);
    gain[n] = g;
    notes[n] = g;
  }
  for (let round = 0; round < ITERATIONS; round++) {
    model.fill(0);
    for (let n = 0; n < NOTES; n++) {
      const value = notes[n] ?? 0;
      if (value < 1e-8) continue;
      for (const { step, weight } of PATTERN)
        if (n + step < NOTES) model[n + step] = (model[n + step] ?? 0) + weight * value;
    }
    for (let n = 0; n < NOTES; n++) {
      const value = notes[n] ?? 0;
      if (value < 1e-8) continue;
      let under = 1e-9;
      for (const { step, weight } of PATTERN) if (n + step < NOTES) under += weight * (model[n + step] ?? 0);
      notes[n] = (value * (gain[n] ?? 0)) / under;
    }
  }
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
    into[pitch] = (into[pitch] ?? 0) + (notes[i] ?? 0) * (weights[i] ?? 0);
  }
}

const CHROMA_WEIGHTS = Float32Array.from({ length: NOTES }, (_, i) =>
  Math.exp(-0.5 * ((LOWEST_NOTE + i - MIDDLE_NOTE) / MIDDLE_SPREAD) ** 2),
);
const BASS_WEIGHTS = Float32Array.from({ length: NOTES }, (_, i) =>
  Math.min(1, Math.max(0, (BASS_END - LOWEST_NOTE - i) / (BASS_END - BASS_FULL))),
);
