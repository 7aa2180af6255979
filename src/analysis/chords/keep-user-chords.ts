import type { ChordMark } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import type { BeatSlot } from '../bars/bar-grid.js';

/** A mark this near a beat, in beats, belongs to it and follows it; farther off it is meant to be between beats. */
const REACH = 0.45;
const SAME: Seconds = 0.03;

/**
 * The user's chords among the suggestions, ascending: each user's chord on the beat nearest to its time if there is one
 * close by and free, else where it was; suggestions at the same place, and those that repeat the chord before, are left out.
 */
export function keepUserChords(
  before: readonly ChordMark[],
  suggested: readonly ChordMark[],
  beats: readonly BeatSlot[],
): ChordMark[] {
  const mine: ChordMark[] = [];
  for (const mark of before) {
    if (mark.origin !== 'user') continue;
    const time = snap(mark.time, beats);
    const taken = mine.some((other) => Math.abs(other.time - time) < SAME);
    mine.push(taken || time === mark.time ? mark : { ...mark, time });
  }
  const rest = suggested.filter((mark) => !mine.some((other) => Math.abs(other.time - mark.time) < SAME));
  const all = [...mine, ...rest].sort((a, b) => a.time - b.time);
  return all.filter((mark, i) => mark.origin === 'user' || mark.harte !== all[i - 1]?.harte);
}

function snap(time: Seconds, beats: readonly BeatSlot[]): Seconds {
  let low = 0;
  let high = beats.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((beats[middle] as BeatSlot).time < time) low = middle + 1;
    else high = middle;
  }
  let best: BeatSlot | undefined;
  for (const beat of [beats[low - 1], beats[low]]) {
    if (beat && (!best || Math.abs(beat.time - time) < Math.abs(best.time - time))) best = beat;
  }
  return best && Math.abs(best.time - time) <= REACH * (best.end - best.time) ? best.time : time;
}
