import { formatHarte, parseHarte } from './chord.js';
import { spell, tonicName, type KeyLike } from './key.js';
import { mod12, pitchClassOf } from './pitch.js';

/** The key so many semitones higher (lower when negative), with its usual name. */
export function transposeKey(key: KeyLike, semitones: number): KeyLike {
  if (mod12(semitones) === 0) return key;
  return { tonic: tonicName(mod12(pitchClassOf(key.tonic) + semitones), key.mode), mode: key.mode };
}

/**
 * A chord so many semitones higher, its root spelled as `key` (the key before) would be there. What cannot be read as a
 * chord, and no chord, stay as they are, as all do at a whole number of octaves.
 */
export function transposeChord(harte: string, semitones: number, key?: KeyLike): string {
  const chord = parseHarte(harte);
  if (mod12(semitones) === 0 || chord?.kind !== 'chord') return harte;
  const root = spell(mod12(pitchClassOf(chord.root) + semitones), key && transposeKey(key, semitones));
  return formatHarte({ ...chord, root });
}
