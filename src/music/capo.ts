import { formatHarte, parseHarte } from './chord.js';
import { spell, tonicName, type KeyLike } from './key.js';
import { mod12, pitchClassOf } from './pitch.js';

/** The highest fret a capo is put on here: beyond it too little of the neck is left. Common practice, no source. */
export const HIGHEST_CAPO = 9;

/**
 * The chord to finger behind a capo so that `harte` sounds: so many semitones lower, spelled in the key the shapes are in.
 * What cannot be read as a chord, and no chord, stay as they are. Throws RangeError for a fret that is none.
 */
export function shapeBehindCapo(harte: string, fret: number, key?: KeyLike): string {
  if (!Number.isInteger(fret) || fret < 0 || fret > HIGHEST_CAPO)
    throw new RangeError(`capo: found fret ${fret}; write 0 to ${HIGHEST_CAPO}`);
  const chord = parseHarte(harte);
  if (fret === 0 || chord?.kind !== 'chord') return harte;
  return formatHarte({ ...chord, root: spell(mod12(pitchClassOf(chord.root) - fret), key && shapeKey(key, fret)) });
}

/** The key of the shapes when a capo lies on `fret` and `key` sounds: G major for A major behind the second fret. */
export function shapeKey(key: KeyLike, fret: number): KeyLike {
  return { tonic: tonicName(mod12(pitchClassOf(key.tonic) - fret), key.mode), mode: key.mode };
}
