import { msg, str } from '@lit/localize';
import { numberText } from '../../music/number-text.js';
import { beatsOf } from '../../music/meter.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { TIME_TOLERANCE } from '../lock-holds.js';
import { barEnd, chordAt, chordsInBar, timeOfPosition } from '../map-queries.js';
import type { ChordMark, SongMap } from '../song-map.js';
import { theBar } from './bars.js';
import { EditProblem } from './problem.js';

/** A chord as typed into a bar. */
export interface TypedChord {
  /** Place in the bar in beats from 0; 1.5 is half-way between the second and the third beat. */
  readonly beat: number;
  /** Harte syntax, already checked. */
  readonly harte: string;
}

/**
 * The chords of a bar are these, typed by the user; none leaves the bar to the chord before. What sounded from the end
 * of the bar on goes on sounding: it is written down there when the bar now ends on another chord.
 * Throws EditProblem for a place outside the bar, two chords on one place or an empty name.
 */
export function setChords(map: SongMap, bar: BarIndex, chords: readonly TypedChord[]): SongMap {
  const found = theBar(map, bar);
  const end = barEnd(map, bar);
  const length = beatsOf(found.meter);
  const sorted = [...chords].sort((a, b) => a.beat - b.beat);
  sorted.forEach((chord, i) => {
    if (chord.harte.trim() === '') throw new EditProblem(msg('A chord needs a name, like G or Am7.'));
    if (!(chord.beat >= 0 && chord.beat < length)) {
      const [number, last] = [numberText(chord.beat + 1, 2), numberText(length, 2)];
      throw new EditProblem(msg(str`There is no beat ${number} in this bar: it has ${last}.`));
    }
    if (chord.beat - (sorted[i - 1]?.beat ?? -1) < 1e-6)
      throw new EditProblem(msg('Two chords cannot begin on one beat: move one of them half a beat.'));
  });
  const typed = sorted.map(({ beat, harte }): ChordMark => {
    return { time: timeOfPosition(found, end, beat), harte: harte.trim(), origin: 'user', confidence: 1 };
  });
  return replaced(map, found.start, end, typed);
}

/** The chord that begins at a time goes; the one before goes on sounding. */
export function removeChord(map: SongMap, time: Seconds): SongMap {
  const chords = map.chords.filter((chord) => Math.abs(chord.time - time) > TIME_TOLERANCE);
  if (chords.length === map.chords.length) throw new EditProblem(msg('No chord begins there: choose one on the map.'));
  return { ...map, chords };
}

/** The chords of a bar as typed ones, for a field to start from. */
export function typedChords(map: SongMap, bar: BarIndex): readonly TypedChord[] {
  return chordsInBar(map, bar).map(({ chord, beat }) => ({ beat, harte: chord.harte }));
}

/** The user agrees with the suggested chords that begin in a bar. */
export function acceptChords(map: SongMap, bar: BarIndex): SongMap {
  const own = new Set(chordsInBar(map, bar).map(({ chord }) => chord));
  const accept = (chord: ChordMark): ChordMark => ({ ...chord, origin: 'user', confidence: 1 });
  return { ...map, chords: map.chords.map((chord) => (own.has(chord) ? accept(chord) : chord)) };
}

function replaced(map: SongMap, from: Seconds, to: Seconds, typed: readonly ChordMark[]): SongMap {
  const before = map.chords.filter((chord) => chord.time < from - TIME_TOLERANCE);
  const after = map.chords.filter((chord) => chord.time >= to - TIME_TOLERANCE);
  const sounded = chordAt(map, to - 3 * TIME_TOLERANCE);
  const sounds = typed[typed.length - 1] ?? before[before.length - 1];
  const goesOn = sounded !== undefined && sounded.harte !== sounds?.harte;
  const written = Math.abs((after[0]?.time ?? Infinity) - to) <= TIME_TOLERANCE;
  // At the end of the song nothing is left for it to sound in.
  const carried = goesOn && !written && to < lastBarEnd(map) ? [{ ...sounded, time: to }] : [];
  return { ...map, chords: [...before, ...typed, ...carried, ...after] };
}

function lastBarEnd(map: SongMap): Seconds {
  const last = map.spans[map.spans.length - 1];
  return last?.kind === 'tail' ? last.start : map.end;
}
