import { msg, str } from '@lit/localize';
import type { BarIndex, Seconds } from '../../music/units.js';
import { sameTime } from '../lock-holds.js';
import type { Lock } from '../locks.js';
import { indexOf } from '../map-index.js';
import { barNumber, barsOf, isIrregular } from '../map-queries.js';
import type { SongMap } from '../song-map.js';
import { addLocks } from './add-locks.js';
import { EditProblem } from './problem.js';

/** What moving bar lines by a beat does. */
export interface Shift {
  /** Where the moved bar lines come to lie. */
  readonly starts: readonly Seconds[];
  /** Where the irregular bar that takes up the difference ends, if another bar begins there: a line that stays. */
  readonly closing?: Seconds;
  /** First and last of the bars whose lines move. */
  readonly first: BarIndex;
  readonly last: BarIndex;
  /** What it goes up to: a bar of another length (which takes up the difference), a fixed bar, free time, or the end. */
  readonly until: 'irregular' | 'locked' | 'free' | 'end';
}

/**
 * Plans bar lines one beat earlier (-1) or later (1), from a bar on or, without one, everywhere.
 *
 * From a bar on, the lines move up to and with that of the next irregular bar, which gets shorter or longer instead:
 * where the bars had slipped by a beat, that is where they slipped back. The line that ends it stays. They stop before a bar whose start the user
 * fixed, and before free time. Everywhere means all lines, irregular bars keeping their lengths; the bar before the
 * first line becomes a pickup, after free time too. Throws EditProblem when no line can move.
 */
export function planShift(map: SongMap, from: BarIndex | undefined, by: 1 | -1): Shift {
  const bars = barsOf(map);
  const wanted = from ?? 0;
  const first = bars[wanted]?.pickup ? wanted + 1 : wanted;
  let last = first;
  let until: Shift['until'] = 'end';
  while (last + 1 < bars.length) {
    if (from !== undefined) {
      if (last > first && isIrregular(map, last)) until = 'irregular';
      else if (!follows(map, last + 1)) until = 'free';
      else if (isFixed(map, bars[last + 1]?.start ?? NaN)) until = 'locked';
      if (until !== 'end') break;
    }
    last++;
  }
  const starts = movedLines(map, first, last, by);
  if (starts.length === 0) throw new EditProblem(msg('No bar line can move by a beat there: choose another bar.'));
  const closing = until === 'irregular' && follows(map, last + 1) ? bars[last + 1]?.start : undefined;
  return { starts, first, last, until, ...(closing === undefined ? {} : { closing }) };
}

function movedLines(map: SongMap, first: BarIndex, last: BarIndex, by: 1 | -1): Seconds[] {
  const { bars, beats, firstBeat, barOfBeat } = indexOf(map);
  const starts: Seconds[] = [];
  for (let bar = first; bar <= last; bar++) {
    const beat = firstBeat[bar];
    const start = bars[bar]?.start;
    if (beat === undefined || start === undefined || bars[bar]?.pickup) continue;
    const target = beats[beat + by];
    // A line that would run into one that stays, out of the map or into free time has no place left.
    const intoBar = barOfBeat[beat + by];
    if (target === undefined || intoBar === undefined) continue;
    if (intoBar !== bar && !follows(map, Math.max(bar, intoBar))) continue;
    if (intoBar > bar && bar === last) continue;
    if (target > (starts[starts.length - 1] ?? -Infinity)) starts.push(target);
  }
  return starts;
}

/** True when a bar begins where the bar before ends. */
function follows(map: SongMap, bar: BarIndex): boolean {
  const { bars, ends } = indexOf(map);
  return sameTime(ends[bar - 1] ?? NaN, bars[bar]?.start ?? NaN);
}

/** True when the user fixed that a bar starts there. Lines moved before may move again. */
function isFixed(map: SongMap, time: Seconds): boolean {
  return map.locks.some((lock) => {
    if (lock.kind === 'downbeat' || lock.kind === 'bar-length') return sameTime(lock.time, time);
    return lock.kind === 'tap' && lock.downbeats.some((line) => sameTime(line, time));
  });
}

/**
 * Bar lines one beat earlier (-1) or later (1) from a bar on, or everywhere: one lock, with the line that ends the bar which
 * takes up the difference, so that nothing behind it moves. What moves: see planShift.
 */
export function shiftBarLines(map: SongMap, from: BarIndex | undefined, by: 1 | -1): SongMap {
  const { starts, closing, first, last } = planShift(map, from, by);
  const { bars } = indexOf(map);
  const left = bars.slice(first, last + 1).map(({ start }) => start);
  // A line that was moved before and moves on must not stay where it was as well.
  const locks = map.locks.flatMap((lock): Lock[] => {
    if (lock.kind !== 'bar-lines') return [lock];
    const staying = lock.starts.filter((line) => !left.some((start) => sameTime(start, line)));
    if (staying.length === lock.starts.length) return [lock];
    return staying.length === 0 ? [] : [{ ...lock, starts: staying }];
  });
  const all = closing === undefined ? starts : [...starts, closing];
  return addLocks({ ...map, locks }, [{ kind: 'bar-lines', starts: all }]);
}

/** What a shift moves and how far it goes: "bars 5 to 12 start one beat earlier, up to a bar of another length". */
export function describeShift(map: SongMap, shift: Shift, by: 1 | -1): string {
  const [from, to] = [barNumber(map, shift.first), barNumber(map, shift.last)];
  const one = from === to;
  const reach = {
    end: shift.first === shift.last ? '' : msg(', to the end'),
    irregular: msg(str`, up to bar ${to}, which takes up the difference`),
    locked: msg(str`, up to bar ${to + 1}, whose start is fixed`),
    free: msg(', up to the free time'),
  }[shift.until];
  if (by < 0) {
    return one
      ? msg(str`bar ${from} starts one beat earlier${reach}`)
      : msg(str`bars ${from} to ${to} start one beat earlier${reach}`);
  }
  return one
    ? msg(str`bar ${from} starts one beat later${reach}`)
    : msg(str`bars ${from} to ${to} start one beat later${reach}`);
}
