import { HARMONY_WIDTH } from './beat-harmony.js';
import { CHORD_STATES, type ChordState } from './vocabulary.js';

/**
 * What each kind of chord costs beside a plain triad: rare ones must be clear. In the order of KINDS, "no chord" last. Set by hand
 * on the development bench, like the rest of this model.
 */
const COSTS = [0, 0, 1.2, 1.2, 1.2, 2.2, 2, 3, 2.2, 2, 0.8, 1, 2, 1.2, 1.5, 1.2, 1.2, 1.8, 0];

const TEMPLATE_MODEL = {
  /** Weight of the likeness of chroma and template, a cosine. */
  likeness: 9,
  /** Weight of the bass on the chord's bass, and on another of its notes. */
  bass: 6,
  bassChord: 2.5,
  /** Likeness that "no chord" has for any sound. */
  none: 0.62,
  /** Weight of the costs. */
  cost: 0.5,
  /** Weight of a chord's fourth note beside its triad. */
  seventh: 0.6,
};

/** Unit vectors of 12 pitch classes, one for each state. */
const NOTES = new Float32Array(12 * CHORD_STATES.length);
/** What each pitch class in the bass says for each state: the weight of its own bass, of its other notes, or none. */
const BASS = new Float32Array(12 * CHORD_STATES.length);
CHORD_STATES.forEach(({ tones, pitches, bassPitch }, s) => {
  const notes = new Float32Array(12);
  tones.forEach((pitch, i) => (notes[pitch] = i < 3 ? 1 : TEMPLATE_MODEL.seventh));
  const length = Math.hypot(...notes) || 1;
  NOTES.set(
    notes.map((v) => v / length),
    12 * s,
  );
  for (const pitch of pitches)
    BASS[12 * s + pitch] = pitch === bassPitch ? TEMPLATE_MODEL.bass : TEMPLATE_MODEL.bassChord;
});

/**
 * How well each chord fits each beat, [beats x CHORD_STATES], by templates of its notes (Fujishima, ICMC 1999) and the share of
 * the bass that lies on its own bass. `values` as from beatHarmony. It knows nothing of instruments, so it holds where a fitted
 * model meets sounds it was not fitted on.
 */
export function templateScores(values: Float32Array): Float64Array {
  const { likeness, none, cost } = TEMPLATE_MODEL;
  const size = CHORD_STATES.length;
  const count = values.length / HARMONY_WIDTH;
  const out = new Float64Array(count * size);
  for (let beat = 0; beat < count; beat++) {
    const at = beat * HARMONY_WIDTH;
    let square = 0;
    let low = 0;
    for (let k = 0; k < 12; k++) {
      square += (values[at + k] as number) ** 2;
      low += values[at + 12 + k] as number;
    }
    const length = Math.sqrt(square);
    for (let s = 0; s < size; s++) {
      if (s === size - 1) out[beat * size + s] = likeness * none;
      else if (length > 0) {
        let dot = 0;
        let support = 0;
        for (let k = 0; k < 12; k++) {
          dot += (NOTES[12 * s + k] as number) * (values[at + k] as number);
          support += (BASS[12 * s + k] as number) * (values[at + 12 + k] as number);
        }
        const { kind } = CHORD_STATES[s] as ChordState;
        out[beat * size + s] =
          (likeness * dot) / length + (low > 0 ? support / low : 0) - cost * (COSTS[kind] as number);
      }
    }
  }
  return out;
}
