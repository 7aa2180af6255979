import { msg, str } from '@lit/localize';
import type { Seconds } from '../../music/units.js';
import { sameTime, TIME_TOLERANCE } from '../lock-holds.js';
import { NO_BEAT_RADIUS, type Lock } from '../locks.js';
import { countUpTo } from '../map-index.js';
import { beatTimes } from '../map-queries.js';
import type { ChordMark, Doubt, Section, SongMap, Span } from '../song-map.js';
import { timeText } from '../describe-lock.js';
import { addLocks } from './add-locks.js';
import { EditProblem } from './problem.js';

/** Least time between two beats, in seconds: 600 beats a minute. */
export const LEAST_BEAT: Seconds = 0.1;

/**
 * The beat at `from` is at `to` instead. Everything that stood on it goes with it: the bar line, a section's start,
 * chords, locks. Throws EditProblem when no beat is at `from`, or `to` is not between its neighbours.
 */
export function moveBeat(map: SongMap, from: Seconds, to: Seconds): SongMap {
  const beats = beatTimes(map);
  const at = countUpTo(beats, from + TIME_TOLERANCE) - 1;
  const beat = beats[at];
  if (beat === undefined || !sameTime(beat, from)) {
    const place = timeText(from);
    throw new EditProblem(msg(str`There is no beat at ${place}: choose one on the map.`));
  }
  if (!Number.isFinite(to)) throw new EditProblem(msg('A beat can only be moved to a moment of the recording.'));
  if (sameTime(to, beat)) return addLocks(map, [{ kind: 'beat', time: beat }]);
  const low = Math.max(limitBefore(map, beat), (beats[at - 1] ?? -Infinity) + TIME_TOLERANCE);
  const high = limitAfter(map, beat);
  if (to < low || to >= high) {
    throw new EditProblem(msg('A beat can be moved only as far as the beats beside it: move or remove those first.'));
  }
  const moved = (time: Seconds): Seconds => (sameTime(time, beat) ? to : time);
  const spans = map.spans.map((span) => moveInSpan(span, moved));
  const next: SongMap = {
    ...map,
    // The map starts where it did: what the first beat left behind is lead-in.
    spans: spans[0]?.start === map.start ? spans : [{ kind: 'lead-in', start: map.start }, ...spans],
    sections: map.sections.map((section) => moveSection(section, moved)),
    chords: moveChords(map.chords, moved),
    locks: map.locks.map((lock) => moveInLock(lock, moved)),
    doubts: map.doubts.map((doubt) => moveDoubt(doubt, moved)),
  };
  return addLocks(next, [{ kind: 'beat', time: to }]);
}

/** The earliest moment a beat can be moved to because of the spans: the start of a lead-in or free stretch before it. */
function limitBefore(map: SongMap, beat: Seconds): Seconds {
  const place = map.spans.findIndex((span) => sameTime(span.start, beat));
  if (place < 0) return -Infinity;
  const before = map.spans[place - 1];
  if (before === undefined) return map.start;
  return before.kind === 'bar' ? -Infinity : before.start + TIME_TOLERANCE;
}

/** The moment before which a moved beat must stay: the next beat, or where its bar ends. */
function limitAfter(map: SongMap, beat: Seconds): Seconds {
  const beats = beatTimes(map);
  const next = beats[countUpTo(beats, beat + TIME_TOLERANCE)] ?? Infinity;
  const span = map.spans.find(({ start }) => start > beat + TIME_TOLERANCE);
  return Math.min(next, span?.start ?? map.end) - TIME_TOLERANCE;
}

function moveInSpan(span: Span, moved: (time: Seconds) => Seconds): Span {
  if (span.kind !== 'bar') return span;
  if (!span.beats.some((beat) => moved(beat) !== beat)) return span;
  return { ...span, start: moved(span.start), beats: span.beats.map(moved) };
}

function moveSection(section: Section, moved: (time: Seconds) => Seconds): Section {
  if (moved(section.start) === section.start) return section;
  const anchor = section.anchor === undefined ? {} : { anchor: moved(section.anchor) };
  return { ...section, start: moved(section.start), ...anchor };
}

/** Chords on the beat go with it; those between its old and its new place would come out of order and give way. */
function moveChords(chords: readonly ChordMark[], moved: (time: Seconds) => Seconds): readonly ChordMark[] {
  const target = chords.find((chord) => moved(chord.time) !== chord.time);
  if (target === undefined) return chords;
  const to = moved(target.time);
  const low = Math.min(target.time, to);
  const high = Math.max(target.time, to);
  return chords
    .filter((chord) => chord === target || chord.time < low || chord.time > high)
    .map((chord) => (chord === target ? { ...chord, time: to } : chord));
}

function moveDoubt(doubt: Doubt, moved: (time: Seconds) => Seconds): Doubt {
  return moved(doubt.time) === doubt.time ? doubt : { ...doubt, time: moved(doubt.time), keep: [], other: [] };
}

function moveInLock(lock: Lock, moved: (time: Seconds) => Seconds): Lock {
  switch (lock.kind) {
    case 'beat':
    case 'downbeat':
    case 'not-downbeat':
    case 'bar-length':
      return moved(lock.time) === lock.time ? lock : { ...lock, time: moved(lock.time) };
    case 'tap': {
      if (!lock.beats.some((beat) => moved(beat) !== beat)) return lock;
      return { ...lock, beats: lock.beats.map(moved), downbeats: lock.downbeats.map(moved) };
    }
    case 'bar-lines':
      return lock.starts.some((line) => moved(line) !== line) ? { ...lock, starts: lock.starts.map(moved) } : lock;
    case 'meter':
    case 'tempo':
    case 'free': {
      const from = moved(lock.from);
      const to = moved(lock.to);
      return from === lock.from && to === lock.to ? lock : { ...lock, from, to };
    }
    case 'no-beat':
    case 'edge':
      return lock;
  }
}

/** A beat is at `time`. */
export function addBeat(map: SongMap, time: Seconds): SongMap {
  if (!(time >= map.start && time < map.end)) {
    const place = timeText(time);
    throw new EditProblem(msg(str`A beat at ${place} would lie outside the map: choose a place inside it.`));
  }
  return addLocks(map, [{ kind: 'beat', time }]);
}

/** No beat is at `time`; a tapped beat there leaves its group. */
export function deleteBeat(map: SongMap, time: Seconds): SongMap {
  return addLocks(map, [{ kind: 'no-beat', time }]);
}

/**
 * The beats over a stretch, as tapped (times already moved to the attack where that is wanted), with those that begin
 * a bar; none of these leaves the bars to the solver. One lock, lifted as one. Sorted here; two taps closer than
 * LEAST_BEAT count once. Throws EditProblem with fewer than two beats inside the map.
 */
export function tapBeats(map: SongMap, given: readonly Seconds[], givenDownbeats: readonly Seconds[]): SongMap {
  const beats: Seconds[] = [];
  for (const time of [...given].sort((a, b) => a - b)) {
    if (!(time >= map.start && time < map.end)) continue;
    if (time - (beats[beats.length - 1] ?? -Infinity) >= LEAST_BEAT) beats.push(time);
  }
  if (beats.length < 2) throw new EditProblem(msg('Tap at least two beats, then end with Escape.'));
  const isDownbeat = (beat: Seconds): boolean => givenDownbeats.some((down) => Math.abs(down - beat) < NO_BEAT_RADIUS);
  return addLocks(map, [{ kind: 'tap', beats, downbeats: beats.filter(isDownbeat) }]);
}

/** From `from` to `to` there is no steady beat. */
export function setFree(map: SongMap, from: Seconds, to: Seconds): SongMap {
  const low = Math.max(Math.min(from, to), map.start);
  const high = Math.min(Math.max(from, to), map.end);
  if (!(high - low >= LEAST_BEAT)) {
    throw new EditProblem(msg('Free time needs a stretch of some length inside the map: select it first.'));
  }
  return addLocks(map, [{ kind: 'free', from: low, to: high }]);
}
