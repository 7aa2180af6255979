import { chordAt } from '../../model/map-queries.js';
import type { ChordMark, SongMap } from '../../model/song-map.js';
import type { KeyLike } from '../../music/key.js';
import { beatSlots, type BarSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';
import { findChords } from './find-chords.js';
import { passGroups } from './pool-passes.js';

/** Bars before and after a changed stretch that are heard with it. */
const CONTEXT = 4;
const SAME = 1e-6;

/**
 * The chords of `map` with new suggestions in the bars that `changed`; everywhere else they stay as they are, those that
 * the user took away included. Where a chord of the user sounds, nothing is suggested over it.
 */
export function renewChords(
  evidence: Evidence,
  map: SongMap,
  bars: readonly BarSlot[],
  changed: readonly boolean[],
  key: KeyLike | undefined,
): ChordMark[] {
  let chords: ChordMark[] = [...map.chords];
  if (!changed.includes(true)) return chords;
  const beats = beatSlots(bars);
  const passes = passGroups(map.sections, bars);
  for (let first = changed.indexOf(true); first >= 0; first = changed.indexOf(true, first)) {
    let next = first;
    while (next < bars.length && changed[next]) next += 1;
    const range = { first: Math.max(0, first - CONTEXT), last: Math.min(bars.length, next + CONTEXT) - 1 };
    const fresh = findChords(evidence, bars, beats, key, passes, range);
    const from = (bars[first] as BarSlot).start;
    const to = (bars[next - 1] as BarSlot).end;
    chords = spliced(map, chords, fresh, from, to, next < bars.length);
    first = next;
  }
  return chords;
}

/** `fresh` from `from` to `to` in place of the suggestions there, and after it what sounded there before. */
function spliced(
  map: SongMap,
  chords: readonly ChordMark[],
  fresh: readonly ChordMark[],
  from: number,
  to: number,
  goesOn: boolean,
): ChordMark[] {
  const inside = (mark: ChordMark): boolean => mark.time > from - SAME && mark.time < to - SAME;
  const kept = chords.filter((mark) => mark.origin === 'user' || !inside(mark));
  const free = (time: number): boolean =>
    chordAt(map, time)?.origin !== 'user' && !kept.some((mark) => Math.abs(mark.time - time) < SAME);
  const opening = [...fresh].reverse().find((mark) => mark.time <= from + SAME);
  const wanted = [
    ...(opening ? [{ ...opening, time: from }] : []),
    ...fresh.filter((mark) => inside(mark) && mark.time > from + SAME),
  ];
  const added = wanted.filter((mark) => free(mark.time));
  const sounding = chordAt(map, to + SAME);
  if (goesOn && sounding && sounding.time < to - SAME && free(to)) added.push({ ...sounding, time: to });
  const all = [...kept, ...added].sort((a, b) => a.time - b.time);
  return all.filter((mark, i) => mark.origin === 'user' || mark.harte !== all[i - 1]?.harte);
}
