import { chordIntervals, parseHarte, type Quality } from '../../music/chord.js';
import { spell, type KeyLike } from '../../music/key.js';
import { mod12, pitchClassOf, type PitchClass } from '../../music/pitch.js';

/** A chord that can be suggested. */
export interface ChordState {
  /** Undefined for "no chord". */
  readonly root?: PitchClass;
  readonly quality?: Quality;
  readonly pitches: readonly PitchClass[];
  /** Unit vector of 12 pitch classes. */
  readonly template: Float32Array;
  /** What it costs to suggest this chord rather than a plain triad. */
  readonly cost: number;
  /** Chords of the same root and third are one family: E7 for E is nearly right. */
  readonly family: number;
}

/** Kinds of chord suggested, and what each costs beside a plain triad: rare ones must be clear to be suggested. */
export const QUALITY_COSTS: Partial<Record<Quality, number>> = {
  maj: 0,
  min: 0,
  '7': 1.2,
  maj7: 1.2,
  min7: 1.2,
  sus4: 2,
  sus2: 2.2,
  dim: 2,
  hdim7: 2.2,
  aug: 3,
};

/** Weight of a chord's fourth note beside its triad. */
const SEVENTH = 0.6;

/** All chords that can be suggested, "no chord" first. */
export function chordStates(): ChordState[] {
  const flat = new Float32Array(12).fill(1 / Math.sqrt(12));
  const states: ChordState[] = [{ pitches: [], template: flat, cost: 0, family: 36 }];
  for (const [name, cost] of Object.entries(QUALITY_COSTS)) {
    const chord = parseHarte(`C:${name}`);
    if (chord?.kind !== 'chord') throw new RangeError(`chordStates: "${name}" is no kind of chord`);
    const intervals = chordIntervals(chord);
    for (let root = 0; root < 12; root++) {
      const template = new Float32Array(12);
      intervals.forEach((interval, i) => (template[mod12(root + interval)] = i < 3 ? 1 : SEVENTH));
      const length = Math.hypot(...template);
      states.push({
        root,
        quality: name as Quality,
        pitches: intervals.map((interval) => mod12(root + interval)),
        template: template.map((v) => v / length),
        cost,
        family: root * 3 + (intervals.includes(4) ? 0 : intervals.includes(3) ? 1 : 2),
      });
    }
  }
  return states;
}

/** True when all notes of the chord lie in the key's scale; in minor the raised seventh counts too. */
export function inKey(state: ChordState, key: KeyLike): boolean {
  const tonic = pitchClassOf(key.tonic);
  const scale = key.mode === 'major' ? [0, 2, 4, 5, 7, 9, 11] : [0, 2, 3, 5, 7, 8, 10, 11];
  return state.pitches.every((pitch) => scale.includes(mod12(pitch - tonic)));
}

/** Harte syntax of a state in a key, over a bass given as an interval above the root. */
export function stateName(state: ChordState, key: KeyLike | undefined, bass: number): string {
  if (state.root === undefined || state.quality === undefined) return 'N';
  const root = spell(state.root, key);
  const over = bass === 0 ? '' : `/${BASS_DEGREES[bass] ?? '1'}`;
  return state.quality === 'maj' && over === '' ? root : `${root}:${state.quality}${over}`;
}

const BASS_DEGREES = ['1', 'b2', '2', 'b3', '3', '4', 'b5', '5', '#5', '6', 'b7', '7'] as const;
