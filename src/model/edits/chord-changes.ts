import { msg, str } from '@lit/localize';
import { numberText } from '../../music/number-text.js';
import { parseHarte } from '../../music/chord.js';
import { beatsOf } from '../../music/meter.js';
import { mod12 } from '../../music/pitch.js';
import { transposeChord, transposeKey } from '../../music/transpose.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { TIME_TOLERANCE } from '../lock-holds.js';
import { barEnd, barOf, barsOf, chordAt, sectionBars, timeOfPosition } from '../map-queries.js';
import { sameChord } from '../pass-chords.js';
import type { ChordMark, SongMap } from '../song-map.js';
import { theBar } from './bars.js';
import { EditProblem } from './problem.js';

/**
 * The chord that begins at `time` begins at another beat instead; it is the user's from then on. It never passes another
 * change: throws EditProblem where one lies between or at the goal, where no chord begins and where the bar has no such beat.
 */
export function moveChord(map: SongMap, time: Seconds, bar: BarIndex, beat: number): SongMap {
  const at = map.chords.findIndex((chord) => Math.abs(chord.time - time) <= TIME_TOLERANCE);
  const chord = map.chords[at];
  if (!chord) throw new EditProblem(msg('No chord begins there: choose one on the map.'));
  const found = theBar(map, bar);
  const length = beatsOf(found.meter);
  if (!(beat >= 0 && beat < length)) {
    const [number, last] = [numberText(beat + 1, 2), numberText(length, 2)];
    throw new EditProblem(msg(str`There is no beat ${number} in this bar: it has ${last}.`));
  }
  const goal = timeOfPosition(found, barEnd(map, bar), beat);
  const before = map.chords[at - 1]?.time ?? -Infinity;
  const after = map.chords[at + 1]?.time ?? Infinity;
  if (goal <= before + TIME_TOLERANCE || goal >= after - TIME_TOLERANCE)
    throw new EditProblem(msg('A chord cannot move past another: take the other one away first.'));
  const moved: ChordMark = { ...chord, time: goal, origin: 'user', confidence: 1 };
  return { ...map, chords: map.chords.map((other, i) => (i === at ? moved : other)) };
}

/** A map with a chord replaced, and in how many places. */
export interface Replaced {
  readonly map: SongMap;
  readonly count: number;
}

/**
 * Replaces a chord everywhere, or in the section at that place only: every chord with the same notes over the same bass,
 * however it is written. One that sounds into the section is replaced from its start on, one that sounds out of it to its end.
 * `to` is Harte syntax, already checked. Throws EditProblem where the chord does not sound or there is no such section.
 */
export function replaceChord(map: SongMap, from: string, to: string, section?: number): Replaced {
  if (to.trim() === '') throw new EditProblem(msg('A chord needs a name, like G or Am7.'));
  const replaced = changed(map, section, (harte) => (sameChord(harte, from) ? to.trim() : undefined));
  if (replaced.count === 0)
    throw new EditProblem(msg('That chord does not sound there: choose another chord or another stretch.'));
  return replaced;
}

/**
 * All chords and the key so many semitones higher, spelled as the new key asks, or the chords alone of the section at that
 * place. All of them are the user's from then on, so that solving again suggests nothing in the old key among them; what
 * cannot be read as a chord stays as it is.
 */
export function transposeChords(map: SongMap, semitones: number, section?: number): SongMap {
  if (!Number.isInteger(semitones)) throw new EditProblem(msg('Chords move by whole semitones.'));
  if (mod12(semitones) === 0) return map;
  const { key } = map;
  const { map: moved } = changed(map, section, (harte) =>
    parseHarte(harte) ? transposeChord(harte, semitones, key) : undefined,
  );
  return section === undefined && key ? { ...moved, key: { ...key, ...transposeKey(key, semitones) } } : moved;
}

/** The chords that `change` has another name for, in a section or everywhere, are the user's with that name. */
function changed(map: SongMap, section: number | undefined, change: (harte: string) => string | undefined): Replaced {
  const range = section === undefined ? { first: 0, last: barsOf(map).length - 1 } : sectionBars(map, section);
  const start = range && barOf(map, range.first)?.start;
  if (!range || start === undefined)
    throw new EditProblem(msg('That section is not on the map any more: choose one that is.'));
  const end = barEnd(map, range.last);
  const whole = section === undefined;
  const inside = (time: Seconds): boolean => whole || (time >= start - TIME_TOLERANCE && time < end - TIME_TOLERANCE);
  const fresh = (time: Seconds, harte: string): ChordMark => ({ time, harte, origin: 'user', confidence: 1 });
  let count = 0;
  const chords = map.chords.map((chord) => {
    const harte = inside(chord.time) ? change(chord.harte) : undefined;
    if (harte === undefined) return chord;
    count += 1;
    return fresh(chord.time, harte);
  });
  const added: ChordMark[] = [];
  if (!whole) {
    const begins = (time: Seconds): boolean =>
      map.chords.some((chord) => Math.abs(chord.time - time) <= TIME_TOLERANCE);
    const entering = begins(start) ? undefined : chordAt(map, start)?.harte;
    const entered = entering === undefined ? undefined : change(entering);
    if (entered !== undefined) {
      count += 1;
      added.push(fresh(start, entered));
    }
    const leaving = begins(end) || range.last + 1 >= barsOf(map).length ? undefined : chordAt(map, end);
    if (leaving && change(leaving.harte) !== undefined && count > 0) added.push({ ...leaving, time: end });
  }
  return { map: { ...map, chords: [...chords, ...added].sort((a, b) => a.time - b.time) }, count };
}
