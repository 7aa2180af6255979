import { msg, str } from '@lit/localize';
import { beatsOf } from '../../music/meter.js';
import type { BarIndex } from '../../music/units.js';
import { barsOf } from '../map-queries.js';
import { soundingInBar } from '../pass-chords.js';
import type { SongMap } from '../song-map.js';
import { theBar } from './bars.js';
import { setChords, type TypedChord } from './chords.js';
import { EditProblem } from './problem.js';

/** The chords of some bars, to be pasted elsewhere. */
export interface ChordClip {
  readonly bars: readonly ClipBar[];
}

export interface ClipBar {
  /** Length in beats. */
  readonly beats: number;
  readonly chords: readonly TypedChord[];
}

/** The chords that sound in bars `first` to `last`, both included; what sounds on into the first of them is written at its start. */
export function copyChords(map: SongMap, first: BarIndex, last: BarIndex): ChordClip {
  if (last < first) throw new EditProblem(msg('There are no bars to copy: select some first.'));
  const bars = Array.from({ length: last - first + 1 }, (_, i): ClipBar => {
    const bar = first + i;
    const sounding = soundingInBar(map, bar).map(({ beat, harte }) => ({ beat, harte }));
    return { beats: beatsOf(theBar(map, bar).meter), chords: i === 0 ? sounding : startingOnly(map, bar, sounding) };
  });
  return { bars };
}

function startingOnly(map: SongMap, bar: BarIndex, sounding: readonly TypedChord[]): readonly TypedChord[] {
  const before = soundingInBar(map, bar - 1).at(-1)?.harte;
  return sounding[0]?.beat === 0 && sounding[0].harte === before ? sounding.slice(1) : sounding;
}

/** A map with a clip pasted, and what did not fit. */
export interface Pasted {
  readonly map: SongMap;
  /** Bars that are too short for a chord of the clip, which was left out there. */
  readonly shortened: readonly BarIndex[];
}

/**
 * Pastes a clip from bar `first` on: its chords become the user's on the same beats. A bar longer than the copied one lets its
 * last chord go on. Throws EditProblem when the song ends before the clip does.
 */
export function pasteChords(map: SongMap, first: BarIndex, clip: ChordClip): Pasted {
  const left = barsOf(map).length - first;
  if (clip.bars.length > left) {
    const [copied, room] = [clip.bars.length, Math.max(0, left)];
    throw new EditProblem(
      msg(str`${copied} bars were copied, but only ${room} are left from here on: begin earlier, or copy fewer.`),
    );
  }
  const shortened: BarIndex[] = [];
  const pasted = clip.bars.reduce((next, { chords }, i) => {
    const bar = first + i;
    const length = beatsOf(theBar(next, bar).meter);
    const fitting = chords.filter(({ beat }) => beat < length - 1e-6);
    if (fitting.length < chords.length) shortened.push(bar);
    return setChords(next, bar, fitting);
  }, map);
  return { map: pasted, shortened };
}
