import { parseHarte } from './chord.js';
import type { KeyLike } from './key.js';
import { changeEffort, fingersMoved, shapesOf, type Shape } from './shapes.js';
import { transposeChord } from './transpose.js';
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
  /** The chords that are fingered, in Harte syntax, each once. */
  readonly chords: readonly string[];
  /** Those of them that take a barre. */
  readonly barres: readonly string[];
  /** Those of them for which no shape was found. */
  readonly missing: readonly string[];
  /** Fingers set anew at a change of chord, on average. */
  readonly moved: number;
}

/** The highest fret for a capo that leaves room to play (common practice, no source). */
const MOST_CAPO = 7;

/**
 * Every key for a song on an instrument, by ease of its shapes and of the changes between them at the song's own tempo;
 * the recording's key first, then the others, easiest first. A shift of -3 is capo 3 with the recording, or three
 * semitones down without one. `key` is the recording's: chords are spelled as the key they come to asks.
 */
export function easiestKeys(chords: readonly TimedChord[], tuning: Tuning, key?: KeyLike): readonly KeyChoice[] {
  const known = new Map<string, readonly Shape[]>();
  const shapes = (harte: string): readonly Shape[] => {
    const chord = parseHarte(harte);
    if (chord?.kind !== 'chord') return [];
    const found = known.get(harte) ?? shapesOf(chord, tuning, 4);
    known.set(harte, found);
    return found;
  };
  const choices = Array.from({ length: 12 }, (_, i): KeyChoice => {
    const shift = i === 0 ? 0 : -i;
    const shifted = chords.map(({ harte, seconds }) => ({ harte: transposeChord(harte, shift, key), seconds }));
    return { shift, ...(i <= MOST_CAPO ? { capo: i } : {}), ...effortOf(shifted, shapes) };
  });
  const [own, ...others] = choices;
  return [own!, ...others.sort((a, b) => a.effort - b.effort)];
}

/** Chords in turn, the last one first, each with the shape it is played in. */
interface Path {
  readonly harte: string;
  readonly shape: Shape;
  readonly cost: number;
  readonly before?: Path;
}

/** The least effort of playing the chords in turn, each with whichever of its shapes suits its neighbours (Viterbi 1967). */
function effortOf(
  chords: readonly TimedChord[],
  shapes: (harte: string) => readonly Shape[],
): Omit<KeyChoice, 'shift' | 'capo'> {
  let paths: readonly Path[] = [];
  let seconds = 0;
  let hardest = 0;
  const missing = new Set<string>();
  for (const { harte, seconds: length } of chords) {
    const options = shapes(harte);
    if (options.length === 0) {
      if (parseHarte(harte)?.kind === 'chord') missing.add(harte);
      continue;
    }
    // A change in half a second costs twice what it costs in one.
    const hurry = 1 / Math.max(0.25, length);
    hardest = Math.max(hardest, options[0]!.effort);
    seconds += length;
    paths = options.map((shape): Path => {
      const hold = shape.effort * length * 0.5;
      let best: Path = { harte, shape, cost: hold };
      for (const [i, before] of paths.entries()) {
        const cost = hold + before.cost + changeEffort(before.shape, shape) * (0.5 + 0.5 * hurry);
        if (i === 0 || cost < best.cost) best = { harte, shape, cost, before };
      }
      return best;
    });
  }
  const best = paths.reduce<Path | undefined>((a, b) => (a && a.cost <= b.cost ? a : b), undefined);
  const played: Path[] = [];
  for (let path = best; path; path = path.before) played.unshift(path);
  const changes = played.filter((path) => path.before && path.before.harte !== path.harte);
  const moved = changes.reduce((sum, { shape, before }) => sum + fingersMoved(before!.shape, shape), 0);
  return {
    effort: best ? best.cost / seconds : 0,
    hardest,
    chords: [...new Set(chords.filter(({ harte }) => parseHarte(harte)?.kind === 'chord').map(({ harte }) => harte))],
    barres: [...new Set(played.filter(({ shape }) => shape.barre).map(({ harte }) => harte))],
    missing: [...missing],
    moved: changes.length > 0 ? moved / changes.length : 0,
  };
}
