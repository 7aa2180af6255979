import { msg, str } from '@lit/localize';
import { fifthsName, fifthsOf, fifthsPosition, mod12, pitchClassOf, type PitchClass } from './pitch.js';
import { formatHarte, parseHarte } from './chord.js';

/** What spelling needs of a key. */
export interface KeyLike {
  readonly tonic: string;
  readonly mode: 'major' | 'minor';
}

/** Sharps (positive) or flats (negative) of the key signature: D major 2, D minor -1. */
export function signatureOf(key: KeyLike): number {
  return fifthsPosition(key.tonic) - (key.mode === 'minor' ? 3 : 0);
}

/** The tonic's name with the fewest accidentals in the signature: Db major, C# minor; F# major and Eb minor where it is a tie. */
export function tonicName(pitch: PitchClass, mode: 'major' | 'minor'): string {
  const relative = mode === 'minor' ? mod12(pitch + 3) : mod12(pitch);
  // Signatures -5 to 6 for major, -6 to 5 for minor.
  const signature = fifthsOf(relative, mode === 'minor' ? -6 : -5);
  return fifthsName(signature + (mode === 'minor' ? 3 : 0));
}

/**
 * The usual name of a pitch class in a key: flats in flat keys, sharps in sharp keys, and the common chromatic notes
 * (C major: Db Eb F# Ab Bb; A minor: C# Eb F# G# Bb); Cb, Fb, E# and B# only where the scale has them. Without a key as
 * in C major. Common practice, no source.
 */
export function spell(pitch: PitchClass, key?: KeyLike): string {
  const signature = key ? signatureOf(key) : 0;
  const wanted = signature - (key?.mode === 'minor' ? 3 : 5);
  const plain = Math.min(Math.max(wanted, GB), A_SHARP - 11);
  // The scale's own notes lie from one fifth below to five above the signature.
  const lowest = Math.max(Math.min(plain, signature - 1), signature - 6);
  return fifthsName(fifthsOf(mod12(pitch), lowest));
}

const GB = -6;
const A_SHARP = 10;

/** The chord with its root named as the key would; a chord that cannot be read is returned as it is. */
export function respellChord(harte: string, key?: KeyLike): string {
  const chord = parseHarte(harte);
  if (!chord || chord.kind !== 'chord') return harte;
  return formatHarte({ ...chord, root: spell(pitchClassOf(chord.root), key) });
}

/** "D major", "Bb minor". */
export function keyText(key: KeyLike): string {
  return key.mode === 'major' ? msg(str`${key.tonic} major`) : msg(str`${key.tonic} minor`);
}
