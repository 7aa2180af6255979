import { msg } from '@lit/localize';
import type { Seconds } from '../../music/units.js';
import { holds, TIME_TOLERANCE } from '../lock-holds.js';
import type { Lock } from '../locks.js';
import { indexOf } from '../map-index.js';
import { barStartingAt } from '../map-queries.js';
import type { LockDraft, Recording, SongMap, Span } from '../song-map.js';
import { cutTo, openEdge } from './edge.js';
import { EditProblem } from './problem.js';

/** Where a moment of one file lies in another: at `offset + speed * time`. */
export interface Move {
  readonly offset: Seconds;
  readonly speed: number;
}

/** Seconds outside the other file that still count as its edge: encoders differ by so little. */
const EDGE: Seconds = 0.05;

/**
 * The map on another file of the same recording: bars, locks, sections, chords and everything else placed in time move. What
 * lies before or after the other file is left out, and what only the other file has becomes lead-in or tail. The solver need not
 * run: nothing but times changes. Throws EditProblem when nothing of the map would be left.
 */
export function moveToRecording(map: SongMap, move: Move, recording: Recording): SongMap {
  const { offset, speed } = move;
  const there = (time: Seconds): Seconds => {
    const moved = offset + speed * time;
    if (moved < 0 && moved > -EDGE) return 0;
    return moved > recording.duration && moved < recording.duration + EDGE ? recording.duration : moved;
  };
  const { from, to } = kept(map, -offset / speed, (recording.duration - offset) / speed);
  const left = Math.min(to, map.end) - Math.max(from, map.start);
  if (!(left > TIME_TOLERANCE)) {
    throw new EditProblem(msg('Nothing of the song is in that file: choose one that holds more of it.'));
  }
  const cut = cutTo(map, from, to);
  const inside = (time: Seconds): boolean => time >= cut.start && time <= cut.end;
  const locks = cut.locks
    .map((lock) => within(lock, from, to))
    .filter((lock): lock is Lock => lock !== undefined && holds(cut.spans, lock, cut.start, cut.end));
  const moved: SongMap = {
    ...cut,
    recording,
    start: there(cut.start),
    end: there(cut.end),
    spans: cut.spans.map((span) => movedSpan(span, there)),
    locks: locks.map((lock) => movedLock(lock, there, speed)),
    sections: cut.sections.map((section) => ({
      ...section,
      start: there(section.start),
      ...(section.anchor === undefined ? {} : { anchor: Math.max(0, there(section.anchor)) }),
    })),
    chords: cut.chords
      .filter(({ time }) => time >= from && time <= to)
      .map((chord) => ({ ...chord, time: there(chord.time) })),
    doubts: cut.doubts
      .filter(({ time, keep, other }) => {
        const whole = (draft: LockDraft): boolean => times(draft).every(inside);
        return inside(time) && barStartingAt(cut, time) !== undefined && keep.every(whole) && other.every(whole);
      })
      .map((doubt) => ({
        ...doubt,
        time: there(doubt.time),
        keep: doubt.keep.map((draft) => movedLock(draft, there, speed)),
        other: doubt.other.map((draft) => movedLock(draft, there, speed)),
      })),
    ...(cut.refused ? { refused: cut.refused.filter(inside).map(there) } : {}),
    ...(cut.ignored
      ? { ignored: cut.ignored.filter(({ time }) => inside(time)).map((one) => ({ ...one, time: there(one.time) })) }
      : {}),
    ...(cut.arrangements
      ? {
          arrangements: cut.arrangements.map((one) => ({
            ...one,
            items: one.items.filter(({ time }) => inside(time)).map((item) => ({ ...item, time: there(item.time) })),
          })),
        }
      : {}),
  };
  return withOpenEdges(moved);
}

/** The stretch that the other file has, widened to a bar that begins just before it or ends just after it. */
function kept(map: SongMap, from: Seconds, to: Seconds): { readonly from: Seconds; readonly to: Seconds } {
  const { bars, ends } = indexOf(map);
  return {
    from: bars.find(({ start }) => start < from && start > from - EDGE)?.start ?? from,
    to: ends.find((end) => end > to && end < to + EDGE) ?? to,
  };
}

/** What the new file has before and after the map belongs to it, unless the user set the edge there. */
function withOpenEdges(map: SongMap): SongMap {
  const set = (edge: 'start' | 'end'): boolean => map.locks.some((lock) => lock.kind === 'edge' && lock.edge === edge);
  const early = map.start > 0 && !set('start') ? openEdge(map, 'start') : map;
  return early.end < early.recording.duration && !set('end') ? openEdge(early, 'end') : early;
}

function movedSpan(span: Span, there: (time: Seconds) => Seconds): Span {
  if (span.kind !== 'bar') return { ...span, start: there(span.start) };
  return { ...span, start: there(span.start), beats: span.beats.map(there) };
}

/** The part of a lock that lies between two moments; undefined when none does. */
function within(lock: Lock, start: Seconds, end: Seconds): Lock | undefined {
  const inside = (time: Seconds): boolean => time >= start && time <= end;
  switch (lock.kind) {
    case 'meter':
    case 'tempo':
    case 'free': {
      const [from, to] = [Math.max(lock.from, start), Math.min(lock.to, end)];
      if (!(from < to)) return undefined;
      if (lock.kind !== 'tempo' || lock.kept === undefined || (from === lock.from && to === lock.to)) {
        return { ...lock, from, to };
      }
      // What it was at another tempo was said of the whole of it.
      const { kept: _, ...rest } = lock;
      return { ...rest, from, to };
    }
    case 'tap': {
      const beats = lock.beats.filter(inside);
      return beats.length === 0 ? undefined : { ...lock, beats, downbeats: lock.downbeats.filter(inside) };
    }
    case 'bar-lines': {
      const starts = lock.starts.filter(inside);
      return starts.length === 0 ? undefined : { ...lock, starts };
    }
    default:
      return inside(lock.time) ? lock : undefined;
  }
}

/** Every moment that a lock names. */
function times(lock: LockDraft): readonly Seconds[] {
  switch (lock.kind) {
    case 'meter':
    case 'tempo':
    case 'free':
      return [lock.from, lock.to];
    case 'tap':
      return lock.beats;
    case 'bar-lines':
      return lock.starts;
    default:
      return [lock.time];
  }
}

function movedLock<L extends Lock | LockDraft>(lock: L, there: (time: Seconds) => Seconds, speed: number): L {
  switch (lock.kind) {
    case 'meter':
    case 'free':
      return { ...lock, from: there(lock.from), to: there(lock.to) };
    case 'tempo':
      return {
        ...lock,
        from: there(lock.from),
        to: there(lock.to),
        period: lock.period * speed,
        ...(lock.kept
          ? {
              kept: lock.kept.map(({ ratio, locks }) => ({
                ratio,
                locks: locks.map(({ was, now }) => ({
                  was: movedLock(was, there, speed),
                  ...(now ? { now: movedLock(now, there, speed) } : {}),
                })),
              })),
            }
          : {}),
      };
    case 'tap':
      return { ...lock, beats: lock.beats.map(there), downbeats: lock.downbeats.map(there) };
    case 'bar-lines':
      return { ...lock, starts: lock.starts.map(there) };
    default:
      return { ...lock, time: there(lock.time) };
  }
}
