import { leadSheetText } from '../music/lead-sheet.js';
import { mod12 } from '../music/pitch.js';
import { transposeChord, transposeKey } from '../music/transpose.js';
import type { Fingered, SongMap } from './song-map.js';

/** Semitones from the chords that sound to those shown: the transposition, less the capo where its shapes are shown. */
export function shownShift({ transpose = 0, capo = 0, sounding }: Fingered): number {
  return transpose - (sounding ? 0 : capo);
}

const made = new WeakMap<SongMap, SongMap>();

/**
 * The map with its chords and key as they are shown: moved to the key it is played in, and behind the capo. The same map
 * always gives the same object, and itself where nothing moves. For reading only: what is edited is the map with the
 * chords that sound, and `soundingChord` brings what was typed back to it.
 */
export function shownMap(map: SongMap): SongMap {
  const shift = shownShift(map.fingered ?? {});
  if (mod12(shift) === 0) return map;
  const known = made.get(map);
  if (known) return known;
  const { key } = map;
  const shown: SongMap = {
    ...map,
    chords: map.chords.map((chord) => ({ ...chord, harte: shownChord(map, chord.harte) })),
    ...(key ? { key: { ...key, ...transposeKey(key, shift) } } : {}),
  };
  made.set(map, shown);
  return shown;
}

/** A chord that sounds as the map shows it, in Harte syntax. */
export function shownChord({ fingered = {}, key }: SongMap, harte: string): string {
  return transposeChord(harte, shownShift(fingered), key);
}

/** A chord that sounds, by the name that the map shows. */
export function shownName(map: SongMap, harte: string): string {
  return leadSheetText(shownChord(map, harte));
}

/** The chord that sounds when `harte` is what the map shows: what a user types is what they see. */
export function soundingChord(map: SongMap, harte: string): string {
  const { key } = shownMap(map);
  return transposeChord(harte, -shownShift(map.fingered ?? {}), key);
}
