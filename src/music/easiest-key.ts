import { parseHarte, type Chord } from './chord.js';
import { mod12, pitchClassOf } from './pitch.js';
import { changeEffort, shapesOf, type Shape } from './shapes.js';
import type { Tuning } from './tuning.js';

/** A chord of the song with how long it sounds, in seconds. */
export interface TimedChord {
  readonly harte: string;
  readonly seconds: number;
}

/** A way to play a song: shapes `shift` semitones from the sounding chords, with a capo where that is above. */
export interface KeyChoice {
  /** Semitones from the sounding chord to its shape, -11 to 0 with a capo at as many frets, or a transposition. */
  readonly shift: number;
  /** Fret of the capo that brings the shapes back to the recording's pitch; undefined where they do not sound with it. */
  readonly capo?: number;
  /** Effort a second of playing: shapes and changes together. */
  readonly effort: number;
  /** The hardest shape of it. */
  readonly hardest: number;
}

/** The highest fret for a capo that leaves room to play (common practice, no source). */
const MOST_CAPO = 7;

/**
 * Every key for a song on an instrument, by ease of its shapes and of the changes between them at the song's own tempo;
 * the recording's key first, then the others, easiest first. A shift of -3 is capo 3 with the recording, or three
 * semitones down without one.
 */
export function easiestKeys(chords: readonly TimedChord[], tuning: Tuning): readonly KeyChoice[] {
  const known = new Map<string, readonly Shape[]>();
  const shapes = (harte: string, shift: number): readonly Shape[] => {
    const chord = shifted(parseHarte(harte), shift);
    if (!chord) return [];
    const key = `${chord.root} ${chord.quality} ${chord.degrees.join()} ${chord.bass}`;
    const found = known.get(key) ?? shapesOf(chord, tuning, 4);
    known.set(key, found);
    return found;
  };
  const choices = Array.from({ length: 12 }, (_, i): KeyChoice => {
    const shift = i === 0 ? 0 : -i;
    const { effort, hardest } = effortOf(chords, (harte) => shapes(harte, shift));
    return { shift, ...(i <= MOST_CAPO ? { capo: i } : {}), effort, hardest };
  });
  const [own, ...others] = choices;
  return [own!, ...others.sort((a, b) => a.effort - b.effort)];
}

/** The least effort of playing the chords in turn, each with whichever of its shapes suits its neighbours (Viterbi 1967). */
function effortOf(
  chords: readonly TimedChord[],
  shapes: (harte: string) => readonly Shape[],
): { readonly effort: number; readonly hardest: number } {
  let paths: { readonly shape: Shape; readonly cost: number }[] = [];
  let seconds = 0;
  let hardest = 0;
  for (const { harte, seconds: length } of chords) {
    const options = shapes(harte);
    if (options.length === 0) continue;
    // A change in half a second costs twice what it costs in one.
    const hurry = 1 / Math.max(0.25, length);
    hardest = Math.max(hardest, options[0]!.effort);
    seconds += length;
    paths = options.map((shape) => {
      const hold = shape.effort * length * 0.5;
      if (paths.length === 0) return { shape, cost: hold };
      return {
        shape,
        cost:
          hold + Math.min(...paths.map((path) => path.cost + changeEffort(path.shape, shape) * (0.5 + 0.5 * hurry))),
      };
    });
  }
  const total = paths.length > 0 ? Math.min(...paths.map(({ cost }) => cost)) : 0;
  return { effort: seconds > 0 ? total / seconds : 0, hardest };
}

const NAMES = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

function shifted(chord: Chord | undefined, shift: number): Extract<Chord, { kind: 'chord' }> | undefined {
  if (chord?.kind !== 'chord') return undefined;
  return { ...chord, root: NAMES[mod12(pitchClassOf(chord.root) + shift)]! };
}
