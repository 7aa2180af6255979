import { chordIntervals, parseHarte, type PitchedChord, type Quality } from '../../music/chord.js';
import { spell, type KeyLike } from '../../music/key.js';
import { degreeSemitones, mod12, pitchClassOf, type PitchClass } from '../../music/pitch.js';

/** A chord that can be suggested. */
export interface ChordState {
  /** Undefined for "no chord". */
  readonly root?: PitchClass;
  readonly quality?: Quality;
  /** Degree of a bass other than the root. */
  readonly bass?: string;
  /** Place of its kind in KINDS. */
  readonly kind: number;
  /** Pitch class of the lowest note. */
  readonly bassPitch?: PitchClass;
  /** Its notes as they are stacked; of a slash chord without the bass. */
  readonly tones: readonly PitchClass[];
  /** All of them, the bass too. */
  readonly pitches: readonly PitchClass[];
  /** Chords of the same root and third are one family: E7 for E is nearly right. */
  readonly family: number;
}

/** The kinds of chord that are suggested, in Harte syntax without a root, in the order of the network's outputs. */
export const KINDS = [
  ...['maj', 'min', '7', 'maj7', 'min7', 'hdim7', 'dim', 'aug', 'sus2', 'sus4'],
  ...['maj/3', 'maj/5', 'maj/2', 'maj/b7', 'min/b3', 'min/5', 'min/b7', '7/3'],
] as const;

/** The place of "no chord" among the kinds. */
export const NO_CHORD = KINDS.length;

/** All chords that can be suggested: the first kind on C to B, the next kind on C to B, ... "no chord" last. */
export const CHORD_STATES: readonly ChordState[] = [
  ...KINDS.flatMap((name, kind) => {
    const chord = parseHarte(`C:${name}`) as PitchedChord;
    const intervals = chordIntervals(chord);
    const bass = chord.bass === undefined ? 0 : mod12(degreeSemitones(chord.bass));
    const notes = new Set([...intervals, bass]);
    return Array.from({ length: 12 }, (_, root): ChordState => {
      return {
        root,
        kind,
        ...(chord.quality === undefined ? {} : { quality: chord.quality }),
        ...(chord.bass === undefined ? {} : { bass: chord.bass }),
        bassPitch: mod12(root + bass),
        tones: intervals.map((interval) => mod12(root + interval)),
        pitches: [...notes].map((interval) => mod12(root + interval)),
        family: root * 3 + (intervals.includes(4) ? 0 : intervals.includes(3) ? 1 : 2),
      };
    });
  }),
  { kind: NO_CHORD, tones: [], pitches: [], family: 36 },
];

/** The state a semitone or more above another. */
export function movedState(state: number, semitones: number): number {
  if (state >= NO_CHORD * 12) return state;
  return state - (state % 12) + mod12((state % 12) + semitones);
}

/** True when all notes of the chord lie in the key's scale; in minor the raised seventh counts too. */
export function inKey(state: ChordState, key: KeyLike): boolean {
  const tonic = pitchClassOf(key.tonic);
  const scale = key.mode === 'major' ? [0, 2, 4, 5, 7, 9, 11] : [0, 2, 3, 5, 7, 8, 10, 11];
  return state.pitches.every((pitch) => scale.includes(mod12(pitch - tonic)));
}

/** Harte syntax of a state, its root named as the key would. */
export function stateName(state: ChordState, key: KeyLike | undefined): string {
  if (state.root === undefined || state.quality === undefined) return 'N';
  const root = spell(state.root, key);
  if (state.bass !== undefined) return `${root}:${state.quality}/${state.bass}`;
  return state.quality === 'maj' ? root : `${root}:${state.quality}`;
}
