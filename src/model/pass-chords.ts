import { parseHarte, chordPitches, bassPitch } from '../music/chord.js';
import type { BarIndex } from '../music/units.js';
import { chordAt, chordsInBar, barOf } from './map-queries.js';
import type { ChordMark, SongMap } from './song-map.js';
import type { ChordOnBeat } from './pass-table.js';

/** The chords that sound in a bar, the one that sounds on from before it included, on beats from 0. */
export function soundingInBar(map: SongMap, bar: BarIndex): readonly (ChordOnBeat & { readonly chord: ChordMark })[] {
  const found = barOf(map, bar);
  if (!found) return [];
  const own = chordsInBar(map, bar).map(({ chord, beat }) => ({ beat, harte: chord.harte, chord }));
  const before = own[0]?.beat === 0 ? undefined : chordAt(map, found.start);
  return before ? [{ beat: 0, harte: before.harte, chord: before }, ...own] : own;
}

/** True when the user has typed or accepted all that sounds in a bar. */
export function isTyped(map: SongMap, bar: BarIndex): boolean {
  const sounding = soundingInBar(map, bar);
  return sounding.length > 0 && sounding[0]?.beat === 0 && sounding.every(({ chord }) => chord.origin === 'user');
}

/** True when two chords have the same notes over the same bass, however they are written. */
export function sameChord(a: string, b: string): boolean {
  if (a === b) return true;
  const [x, y] = [parseHarte(a), parseHarte(b)];
  if (!x || !y || x.kind !== y.kind) return false;
  const notes = (pitches: readonly number[]): string => [...new Set(pitches)].sort((p, q) => p - q).join(' ');
  return bassPitch(x) === bassPitch(y) && notes(chordPitches(x)) === notes(chordPitches(y));
}

/** True when two bars' chords are the same from beat to beat, as far as both bars reach. */
export function sameChords(a: readonly ChordOnBeat[], b: readonly ChordOnBeat[], beats: number): boolean {
  const places = [...a, ...b].map(({ beat }) => beat).filter((beat) => beat < beats - 1e-6);
  return places.every((beat) => {
    const [x, y] = [soundingOn(a, beat), soundingOn(b, beat)];
    return x === undefined || y === undefined ? x === y : sameChord(x, y);
  });
}

/** What of some chords sounds on a beat. */
export function soundingOn(chords: readonly ChordOnBeat[], beat: number): string | undefined {
  return chords.filter((chord) => chord.beat <= beat + 1e-6).at(-1)?.harte;
}
