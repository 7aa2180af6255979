import { msg, str } from '@lit/localize';

/** A stringed instrument's open strings as MIDI notes, in the order in which a chord diagram shows them. */
export interface Tuning {
  readonly id: string;
  /** "ukulele", "guitar", or what the user typed. */
  readonly name: string;
  readonly strings: readonly number[];
}

/** Standard tunings (common practice, no source; tests compare them with an open collection). */
export const TUNINGS: readonly Tuning[] = [
  tuning('ukulele', () => msg('ukulele'), [67, 60, 64, 69]),
  tuning('ukulele-low-g', () => msg('ukulele, low G'), [55, 60, 64, 69]),
  tuning('baritone', () => msg('baritone ukulele'), [50, 55, 59, 64]),
  tuning('guitar', () => msg('guitar'), [40, 45, 50, 55, 59, 64]),
];

/** Its name is found when it is read: workers load this before they have a language. */
function tuning(id: string, name: () => string, strings: readonly number[]): Tuning {
  return {
    id,
    get name() {
      return name();
    },
    strings,
  };
}

/** The lowest string in sound may carry the bass, and a string may be left out: on five or more strings, not on four. */
export function hasBass({ strings }: Tuning): boolean {
  return strings.length >= 5;
}

/** An instrument by the id of one of TUNINGS or as it is typed; a ukulele where it is neither. */
export function tuningOf(instrument: string): Tuning {
  const known = TUNINGS.find(({ id }) => id === instrument);
  if (known) return known;
  try {
    return parseTuning(instrument);
  } catch {
    return TUNINGS[0]!;
  }
}

const NOTE = /^([A-Ga-g])([#b]?)(-?\d)?$/;
const LETTERS: Readonly<Record<string, number>> = { c: 0, d: 2, e: 4, f: 5, g: 7, a: 9, b: 11 };

/**
 * A tuning typed as its strings: "D A D G B E", "g C E A", "G3 D4 A4 E5". Without octaves each string is taken nearest
 * to a fourth above the one before; a small letter on the first means that string is the higher octave.
 * Throws a RangeError with a sentence when it cannot be read; three to eight strings.
 */
export function parseTuning(text: string): Tuning {
  const words = text.trim().split(/[\s,-]+/);
  if (words.length < 3 || words.length > 8) {
    throw new RangeError(
      msg(str`tuning: found ${words.length} strings in "${text}"; write three to eight notes, such as D A D G B E`),
    );
  }
  const strings: number[] = [];
  for (const [i, word] of words.entries()) {
    const match = NOTE.exec(word);
    if (!match)
      throw new RangeError(msg(str`tuning: "${word}" is no note; write them like D A D G B E or G4 C4 E4 A4`));
    const [, letter = '', accidental, octave] = match;
    const pitch = LETTERS[letter.toLowerCase()]! + (accidental === '#' ? 1 : accidental === 'b' ? -1 : 0);
    strings.push(
      octave === undefined ? withoutOctave(pitch, strings[i - 1], words.length) : 12 * (Number(octave) + 1) + pitch,
    );
  }
  // The re-entrant string lies above the one that follows it.
  if (
    words.every((word) => !/\d/.test(word)) &&
    /^[a-g]/.test(words[0]!) &&
    words.slice(1).some((word) => /^[A-G]/.test(word))
  ) {
    while (strings[0]! < strings[1]!) strings[0]! += 12;
  }
  return { id: `own ${words.join(' ')}`, name: words.join(' '), strings };
}

function withoutOctave(pitch: number, before: number | undefined, strings: number): number {
  if (before === undefined) return (strings >= 5 ? 36 : 48) + ((pitch + 12) % 12);
  let best = pitch;
  for (let note = pitch + 24; note < 90; note += 12) {
    if (Math.abs(note - before - 5) < Math.abs(best - before - 5)) best = note;
  }
  return best;
}
