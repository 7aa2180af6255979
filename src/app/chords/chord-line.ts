import { msg, str } from '@lit/localize';
import type { TypedChord } from '../../model/edits/chords.js';
import { beatsOf, type Meter } from '../../music/meter.js';
import { parseHarte } from '../../music/chord.js';
import { leadSheetText, parseLeadSheet } from '../../music/lead-sheet.js';

/**
 * Chords of a bar as one line: "G", "G C", "G . C D". Without a point the chords share the bar's beats, the earlier ones
 * getting the beat more where it does not come out even ("G C" in 3 is 2 + 1, "G C D" in 4 is 2 + 1 + 1); with points
 * every word stands for one beat, or for half a beat when there are twice as many, and a point lets the chord before go
 * on. (Common practice, no source.) A word that cannot be read as a chord is kept as it is typed, see unreadWords.
 *
 * Throws RangeError with words for the user.
 */
export function parseChordLine(text: string, meter: Meter): readonly TypedChord[] {
  const words = text.trim().split(/\s+/).filter(Boolean);
  const beats = beatsOf(meter);
  const slots = Math.ceil(beats);
  const places = placesFor(words, beats, slots);
  return words.flatMap((word, i) => (isPoint(word) ? [] : [{ beat: places[i] as number, harte: chordOrWord(word) }]));
}

/** The words of a line, of one bar or several, that cannot be read as chords; each once. */
export function unreadWords(text: string): readonly string[] {
  const words = text.split(/[\s|]+/).filter((word) => word !== '' && !isPoint(word));
  return [...new Set(words.filter((word) => parseHarte(chordOrWord(word)) === undefined))];
}

/** Longest word kept that is no chord, in characters. */
const LONGEST_WORD = 40;

/** A typed chord in Harte syntax, or the word itself where it is none: nothing typed is lost. */
function chordOrWord(word: string): string {
  try {
    return parseLeadSheet(word);
  } catch (error) {
    if (word.length > LONGEST_WORD) throw error;
    return word;
  }
}

function placesFor(words: readonly string[], beats: number, slots: number): readonly number[] {
  const count = words.length;
  if (count > 2 * beats) {
    throw new RangeError(msg(str`${count} chords do not fit into ${beats} beats; write two a beat at most`));
  }
  if (count > slots) {
    if (count !== 2 * beats) {
      throw new RangeError(
        msg(
          str`Write chords, one for each of the ${slots} beats, or ${2 * beats} for the half beats; a point lets a chord go on`,
        ),
      );
    }
    return words.map((_, i) => i / 2);
  }
  if (words.some(isPoint)) return words.map((_, i) => i);
  return words.map((_, i) => Math.ceil((i * slots) / count));
}

function isPoint(word: string): boolean {
  return word === '.' || word === '-' || word === '%' || word === '/';
}

/** The line for chords on the beats or half beats of a bar; parseChordLine reads it back. Others are put on the half beat before. */
export function chordLine(chords: readonly TypedChord[], meter: Meter): string {
  const beats = beatsOf(meter);
  const names = chords.map(({ harte }) => leadSheetText(harte));
  const plain = names.join(' ');
  if (sameChords(plain, chords, meter)) return plain;
  const step = chords.every(({ beat }) => Number.isInteger(beat)) ? 1 : 0.5;
  const words = Array.from({ length: Math.ceil(beats / step) }, () => '.');
  chords.forEach(({ beat }, i) => {
    const slot = Math.min(words.length - 1, Math.floor(beat / step + 1e-6));
    words[slot] = names[i] as string;
  });
  return words.join(' ');
}

function sameChords(text: string, chords: readonly TypedChord[], meter: Meter): boolean {
  try {
    const read = parseChordLine(text, meter);
    return (
      read.length === chords.length && read.every(({ beat }, i) => Math.abs(beat - (chords[i]?.beat ?? NaN)) < 1e-6)
    );
  } catch {
    return false;
  }
}
