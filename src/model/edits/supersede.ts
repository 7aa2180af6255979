import { beatStartsOf } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import { sameTime, TIME_TOLERANCE } from '../lock-holds.js';
import { lockStretch } from '../lock-stretch.js';
import {
  NO_BEAT_RADIUS,
  type BarLengthLock,
  type BarLinesLock,
  type Lock,
  type TapLock,
  type TempoLock,
} from '../locks.js';
import { countUpTo } from '../map-index.js';
import { barOf, barStartingAt, beatTimes } from '../map-queries.js';
import type { LockDraft, SongMap } from '../song-map.js';

/**
 * What is left of an older lock when the user decides the same thing anew: nothing, the lock as it was, the lock with
 * the part re-decided taken out or rewritten, or two pieces of it (the first keeps the id). A lock of another sort that
 * stands in the way is left as it was: that is a clash, for the user to settle.
 *
 * - beat, no beat: at one place (within NO_BEAT_RADIUS) the newer replaces the older; in a tapped group the beat is
 *   moved, added or taken out.
 * - beat 1, not beat 1: likewise; in a tapped group that says where bars start the beat 1 is added or taken out; bar
 *   lines that were moved in one go keep those before the place.
 * - bar length: replaces the one at the same start; in a tapped group the bar lines inside the new bar go and one comes
 *   where it ends; moved bar lines that it contradicts keep those up to its start.
 * - time signature, tempo, taps, moved bar lines: the newer takes its stretch out of the older.
 * - free time: replaces free time inside it. Edge: replaces the same edge.
 */
export function supersede(map: SongMap, old: Lock, draft: LockDraft): readonly Lock[] {
  switch (draft.kind) {
    case 'beat':
      if (old.kind === 'beat' || old.kind === 'no-beat') return isNear(old.time, draft.time) ? [] : [old];
      return old.kind === 'tap' ? [withTap(old, draft.time)] : [old];
    case 'no-beat':
      if (old.kind === 'beat') return isNear(old.time, draft.time) ? [] : [old];
      if (old.kind === 'no-beat') return sameTime(old.time, draft.time) ? [] : [old];
      return old.kind === 'tap' ? withoutTap(old, draft.time) : [old];
    case 'downbeat':
      if (old.kind === 'downbeat' || old.kind === 'not-downbeat' || old.kind === 'no-beat') {
        return isNear(old.time, draft.time) ? [] : [old];
      }
      if (old.kind === 'tap') return [withTappedBarLine(old, draft.time)];
      return old.kind === 'bar-lines' ? linesAroundDownbeat(old, draft.time) : [old];
    case 'not-downbeat':
      if (old.kind === 'downbeat') return isNear(old.time, draft.time) ? [] : [old];
      if (old.kind === 'not-downbeat') return sameTime(old.time, draft.time) ? [] : [old];
      if (old.kind === 'tap') return [{ ...old, downbeats: old.downbeats.filter((d) => !isNear(d, draft.time)) }];
      return old.kind === 'bar-lines' && old.starts.some((line) => isNear(line, draft.time))
        ? linesWhere(old, (line) => line < draft.time - NO_BEAT_RADIUS)
        : [old];
    case 'bar-length':
      return supersededByLength(map, old, draft);
    case 'meter':
      return old.kind === 'meter' ? cutStretch(old, draft.from, draft.to) : [old];
    case 'tempo':
      return old.kind === 'tempo' ? cutStretch(old, draft.from, draft.to).map(withOwnKept) : [old];
    case 'free':
      return old.kind === 'free' && old.from >= draft.from && old.to <= draft.to ? [] : [old];
    case 'edge':
      return old.kind === 'edge' && old.edge === draft.edge ? [] : [old];
    case 'tap':
      if (old.kind === 'no-beat') return draft.beats.some((beat) => isNear(beat, old.time)) ? [] : [old];
      if (old.kind === 'not-downbeat') return draft.downbeats.some((d) => isNear(d, old.time)) ? [] : [old];
      return old.kind === 'tap' ? cutTap(old, draft.beats) : [old];
    case 'bar-lines':
      if (old.kind === 'not-downbeat') return draft.starts.some((line) => isNear(line, old.time)) ? [] : [old];
      return old.kind === 'bar-lines' ? cutLines(old, draft.starts) : [old];
  }
}

function supersededByLength(map: SongMap, old: Lock, draft: Omit<BarLengthLock, 'id'>): readonly Lock[] {
  if (old.kind === 'bar-length' || old.kind === 'no-beat') return isNear(old.time, draft.time) ? [] : [old];
  if (old.kind === 'not-downbeat') {
    const bar = barStartingAt(map, draft.time);
    // A pickup starts on no beat 1: both can be true of it.
    const isPickup = bar !== undefined && barOf(map, bar)?.pickup === true;
    return isNear(old.time, draft.time) && !isPickup ? [] : [old];
  }
  if (old.kind === 'tap') return [withTappedLength(old, draft)];
  if (old.kind !== 'bar-lines') return [old];
  const at = old.starts.findIndex((line) => sameTime(line, draft.time));
  if (at < 0) return linesAroundDownbeat(old, draft.time);
  const next = old.starts[at + 1];
  if (next === undefined) return [old];
  const beats = beatTimes(map);
  const here = countUpTo(beats, next - TIME_TOLERANCE) - countUpTo(beats, draft.time - TIME_TOLERANCE);
  return here === beatStartsOf(draft.meter) ? [old] : linesWhere(old, (line) => line <= draft.time + TIME_TOLERANCE);
}

/** A tapped group with a beat at `time`: moved there when one is near, added when it lies inside. */
function withTap(tap: TapLock, time: Seconds): TapLock {
  const first = tap.beats[0] ?? Infinity;
  const last = tap.beats[tap.beats.length - 1] ?? -Infinity;
  const near = tap.beats.filter((beat) => isNear(beat, time));
  if (near.length === 0 && !(time > first && time < last)) return tap;
  const moved = near.reduce<Seconds | undefined>(
    (best, beat) => (best === undefined || Math.abs(beat - time) < Math.abs(best - time) ? beat : best),
    undefined,
  );
  const beats = [...tap.beats.filter((beat) => beat !== moved), time].sort(ascending);
  const downbeats = tap.downbeats.map((beat) => (beat === moved ? time : beat)).sort(ascending);
  return { ...tap, beats, downbeats };
}

function withoutTap(tap: TapLock, time: Seconds): readonly TapLock[] {
  const beats = tap.beats.filter((beat) => !isNear(beat, time));
  if (beats.length === tap.beats.length) return [tap];
  return beats.length === 0 ? [] : [{ ...tap, beats, downbeats: tap.downbeats.filter((beat) => !isNear(beat, time)) }];
}

function withTappedBarLine(tap: TapLock, time: Seconds): TapLock {
  if (tap.downbeats.length === 0 || tap.downbeats.some((line) => sameTime(line, time))) return tap;
  const beat = tap.beats.find((known) => sameTime(known, time));
  return beat === undefined ? tap : { ...tap, downbeats: [...tap.downbeats, beat].sort(ascending) };
}

function withTappedLength(tap: TapLock, { time, meter }: Omit<BarLengthLock, 'id'>): TapLock {
  const at = tap.beats.findIndex((beat) => sameTime(beat, time));
  if (at < 0 || tap.downbeats.length === 0) return tap;
  const after = at + beatStartsOf(meter);
  const inside = tap.beats.slice(at + 1, after);
  const kept = tap.downbeats.filter((line) => !inside.some((beat) => sameTime(beat, line)));
  const next = tap.beats[after];
  if (next === undefined || kept.some((line) => sameTime(line, next))) return { ...tap, downbeats: kept };
  return { ...tap, downbeats: [...kept, next].sort(ascending) };
}

/** Bar lines moved in one go, after a bar has been said to start elsewhere among them. */
function linesAroundDownbeat(lines: BarLinesLock, time: Seconds): readonly BarLinesLock[] {
  const last = lines.starts[lines.starts.length - 1] ?? -Infinity;
  if (time > last || lines.starts.some((line) => sameTime(line, time))) return [lines];
  if (time < (lines.starts[0] ?? Infinity) - NO_BEAT_RADIUS) return [lines];
  return linesWhere(lines, (line) => line < time - NO_BEAT_RADIUS);
}

function linesWhere(lines: BarLinesLock, keep: (line: Seconds) => boolean): readonly BarLinesLock[] {
  const starts = lines.starts.filter(keep);
  return starts.length === 0 ? [] : [{ ...lines, starts }];
}

function cutLines(lines: BarLinesLock, newer: readonly Seconds[]): readonly BarLinesLock[] {
  const first = newer[0] ?? Infinity;
  const last = newer[newer.length - 1] ?? -Infinity;
  return [
    ...linesWhere(lines, (line) => line < first - NO_BEAT_RADIUS),
    ...linesWhere(lines, (line) => line > last + NO_BEAT_RADIUS),
  ];
}

function cutTap(tap: TapLock, newer: readonly Seconds[]): readonly TapLock[] {
  const first = (newer[0] ?? Infinity) - NO_BEAT_RADIUS;
  const last = (newer[newer.length - 1] ?? -Infinity) + NO_BEAT_RADIUS;
  const part = (keep: (beat: Seconds) => boolean): readonly TapLock[] => {
    const beats = tap.beats.filter(keep);
    return beats.length === 0 ? [] : [{ ...tap, beats, downbeats: tap.downbeats.filter(keep) }];
  };
  return [...part((beat) => beat <= first), ...part((beat) => beat >= last)];
}

/** A lock over a stretch with another stretch taken out: nothing, one piece or two. */
function cutStretch<L extends Extract<Lock, { from: Seconds; to: Seconds }>>(
  lock: L,
  from: Seconds,
  to: Seconds,
): readonly L[] {
  if (to <= lock.from + TIME_TOLERANCE || from >= lock.to - TIME_TOLERANCE) return [lock];
  const pieces: L[] = [];
  if (from > lock.from + TIME_TOLERANCE) pieces.push({ ...lock, to: from });
  if (to < lock.to - TIME_TOLERANCE) pieces.push({ ...lock, from: to });
  return pieces;
}

/** A piece of a tempo lock keeps the locks that lie in it. */
function withOwnKept(tempo: TempoLock): TempoLock {
  const { kept, ...bare } = tempo;
  const own = (kept ?? []).flatMap((group) => {
    const locks = group.locks.filter(({ was }) => inStretch(was, tempo.from, tempo.to));
    return locks.length === 0 ? [] : [{ ...group, locks }];
  });
  return own.length === 0 ? bare : { ...bare, kept: own };
}

/** True when a lock begins in [from, to). */
export function inStretch(lock: Lock, from: Seconds, to: Seconds): boolean {
  const place = lockStretch(lock).from;
  return place >= from - TIME_TOLERANCE && place < to - TIME_TOLERANCE;
}

function isNear(a: Seconds, b: Seconds): boolean {
  return Math.abs(a - b) < NO_BEAT_RADIUS;
}

function ascending(a: number, b: number): number {
  return a - b;
}
