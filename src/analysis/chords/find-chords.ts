import type { ChordMark } from '../../model/song-map.js';
import type { KeyLike } from '../../music/key.js';
import { mod12 } from '../../music/pitch.js';
import { trackMeans, type BarSlot, type BeatSlot } from '../bar-grid.js';
import type { Evidence } from '../evidence.js';
import { decode, type Decoded } from './decode.js';
import { chordStates, inKey, stateName, type ChordState } from './vocabulary.js';

export const CHORD_MODEL = {
  /** Weight of the likeness of chroma and template (a cosine) in a beat's score. */
  likeness: 9,
  /** Weight of the bass on the root, and on another chord note. */
  bassRoot: 6,
  bassChord: 2.5,
  /** Likeness that "no chord" has for any sound; a beat with less than this of every chord has none. */
  none: 0.62,
  /** Cost on every beat of a chord's kind, times the costs of the vocabulary. */
  beatCost: 0.5,
  /** Cost of a chord outside the key. */
  outside: 1,
  /** Cost of a change on beat 1, in the middle of a bar, elsewhere. */
  changeDownbeat: 1.5,
  changeHalf: 3,
  changeOther: 5.5,
  /** Seconds left out at a beat's start (the last chord still rings) and end. */
  skipStart: 0.1,
  skipEnd: 0.05,
};

let states: readonly ChordState[] | undefined;

/**
 * Chord suggestions on the beats of `bars`: beat-wise chroma against templates, decoded by a hidden Markov model whose
 * changes prefer downbeats and half-bars (after Bello & Pickens, ISMIR 2005). Confidence is the posterior of root and third, 0 to 1. `key` names the chords and makes
 * those outside it rarer.
 */
export function findChords(
  evidence: Evidence,
  bars: readonly BarSlot[],
  beats: readonly BeatSlot[],
  key?: KeyLike,
): ChordMark[] {
  if (beats.length === 0) return [];
  states ??= chordStates();
  const chroma = beatMeans(evidence, beats, 'chroma');
  const bass = beatMeans(evidence, beats, 'bass');
  const scores = observe(chroma, bass, beats.length, states);
  const priors = Float64Array.from(states, (s) => -s.cost - (key && !inKey(s, key) ? CHORD_MODEL.outside : 0));
  const families = Int32Array.from(states, (s) => s.family);
  const decoded = decode(scores, changeCosts(bars, beats), priors, families);
  return marks(decoded, beats, bass, states, key);
}

/** Twelve values a beat: the mean of the track's frames inside it, scaled to a largest of 1; zeros where silent. */
function beatMeans(evidence: Evidence, beats: readonly BeatSlot[], name: 'chroma' | 'bass'): Float32Array {
  const means = trackMeans(evidence.tracks[name]);
  const out = new Float32Array(beats.length * 12);
  const { skipStart, skipEnd } = CHORD_MODEL;
  beats.forEach(({ time, end }, i) => {
    const short = Math.min(1, (end - time) / 0.5);
    means.mean(time + skipStart * short, end - skipEnd * short, out, i * 12);
    let largest = 0;
    for (let k = 0; k < 12; k++) largest = Math.max(largest, out[i * 12 + k] as number);
    if (largest > 0) for (let k = 0; k < 12; k++) out[i * 12 + k] = (out[i * 12 + k] as number) / largest;
  });
  return out;
}

function observe(chroma: Float32Array, bass: Float32Array, count: number, all: readonly ChordState[]): Float64Array {
  const { likeness, bassRoot, bassChord, none, beatCost } = CHORD_MODEL;
  const scores = new Float64Array(count * all.length);
  for (let i = 0; i < count; i++) {
    let square = 0;
    let low = 0;
    for (let k = 0; k < 12; k++) {
      square += (chroma[i * 12 + k] as number) ** 2;
      low += bass[i * 12 + k] as number;
    }
    const length = Math.sqrt(square);
    all.forEach((state, s) => {
      if (state.root === undefined || length === 0) {
        scores[i * all.length + s] = state.root === undefined ? likeness * none : 0;
        return;
      }
      let dot = 0;
      for (let k = 0; k < 12; k++) dot += (state.template[k] as number) * (chroma[i * 12 + k] as number);
      let support = 0;
      if (low > 0) {
        const root = bass[i * 12 + state.root] as number;
        let chord = 0;
        for (const pitch of state.pitches) chord += bass[i * 12 + pitch] as number;
        support = (bassRoot * root) / low + (bassChord * (chord - root)) / low;
      }
      scores[i * all.length + s] = (likeness * dot) / length + support - beatCost * state.cost;
    });
  }
  return scores;
}

/** What a change of chord costs on each beat. */
function changeCosts(bars: readonly BarSlot[], beats: readonly BeatSlot[]): Float64Array {
  return Float64Array.from(beats, (beat) => {
    if (beat.place === 0) return CHORD_MODEL.changeDownbeat;
    const count = bars[beat.bar]?.bar.beats.length ?? 4;
    const half = count >= 4 && count % 2 === 0 ? count / 2 : count === 2 ? 1 : 2;
    return Math.abs(beat.place) === half ? CHORD_MODEL.changeHalf : CHORD_MODEL.changeOther;
  });
}

/** A mark where the chord or its bass changes. */
function marks(
  decoded: Decoded,
  beats: readonly BeatSlot[],
  bass: Float32Array,
  all: readonly ChordState[],
  key: KeyLike | undefined,
): ChordMark[] {
  const out: ChordMark[] = [];
  const { path, posterior } = decoded;
  let from = 0;
  for (let i = 1; i <= path.length; i++) {
    if (i < path.length && path[i] === path[from]) continue;
    const state = all[path[from] as number] as ChordState;
    let sure = 0;
    for (let j = from; j < i; j++) sure += posterior[j] as number;
    out.push({
      time: (beats[from] as BeatSlot).time,
      harte: stateName(state, key, bassOf(state, bass, from, i)),
      origin: 'suggested',
      confidence: Math.round(1000 * Math.min(1, sure / (i - from))) / 1000,
    });
    from = i;
  }
  return out;
}

/** A bass on another chord note is said only when it is this many times as strong as the root. */
const CLEAR_BASS = 3;
const BASS_SHARE = 0.5;

/** Semitones of the bass above the root over beats [from, to): another note of the chord when it is clear, else 0. */
function bassOf(state: ChordState, bass: Float32Array, from: number, to: number): number {
  if (state.root === undefined) return 0;
  const sums = new Float64Array(12);
  let all = 0;
  for (let i = from; i < to; i++) {
    for (let k = 0; k < 12; k++) {
      sums[k] = (sums[k] as number) + (bass[i * 12 + k] as number);
      all += bass[i * 12 + k] as number;
    }
  }
  const root = sums[state.root] as number;
  let best = state.root;
  for (const pitch of state.pitches) if ((sums[pitch] as number) > (sums[best] as number)) best = pitch;
  const strength = sums[best] as number;
  return strength > CLEAR_BASS * root && strength > BASS_SHARE * all ? mod12(best - state.root) : 0;
}
