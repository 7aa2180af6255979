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

interface Template {
  readonly state: ChordState;
  /** Unit vector of 12 pitch classes. */
  readonly notes: Float32Array;
  readonly bass: number;
}

const TEMPLATES: readonly Template[] = CHORD_STATES.map((state) => {
  const notes = new Float32Array(12);
  state.tones.forEach((pitch, i) => (notes[pitch] = i < 3 ? 1 : TEMPLATE_MODEL.seventh));
  const length = Math.hypot(...notes) || 1;
  return { state, notes: notes.map((v) => v / length), bass: state.bassPitch ?? 0 };
});

/**
 * How well each chord fits each beat, [beats x CHORD_STATES], by templates of its notes (Fujishima, ICMC 1999) and the share of
 * the bass that lies on its own bass. `values` as from beatHarmony. It knows nothing of instruments, so it holds where a fitted
 * model meets sounds it was not fitted on.
 */
export function templateScores(values: Float32Array): Float64Array {
  const { likeness, bass, bassChord, none, cost } = TEMPLATE_MODEL;
  const size = CHORD_STATES.length;
  const count = values.length / HARMONY_WIDTH;
  const out = new Float64Array(count * size);
  for (let beat = 0; beat < count; beat++) {
    const chroma = values.subarray(beat * HARMONY_WIDTH, beat * HARMONY_WIDTH + 12);
    const low = values.subarray(beat * HARMONY_WIDTH + 12, (beat + 1) * HARMONY_WIDTH);
    const length = Math.hypot(...chroma);
    const sum = low.reduce((all, v) => all + v, 0);
    TEMPLATES.forEach(({ state, notes, bass: own }, s) => {
      if (state.root === undefined || length === 0) {
        out[beat * size + s] = state.root === undefined ? likeness * none : 0;
        return;
      }
      let dot = 0;
      for (let k = 0; k < 12; k++) dot += (notes[k] as number) * (chroma[k] as number);
      let support = 0;
      if (sum > 0) {
        let others = 0;
        for (const pitch of state.pitches) if (pitch !== own) others += low[pitch] as number;
        support = (bass * (low[own] as number) + bassChord * others) / sum;
      }
      out[beat * size + s] = (likeness * dot) / length + support - cost * (COSTS[state.kind] as number);
    });
  }
  return out;
}
