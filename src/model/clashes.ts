import { beatStartsOf, sameMeter } from '../music/meter.js';
import type { Seconds } from '../music/units.js';
import { sameTime, TIME_TOLERANCE } from './lock-holds.js';
import { NO_BEAT_RADIUS, type Lock } from './locks.js';
import type { LockDraft } from './song-map.js';

/**
 * The locks that plainly cannot hold together with a draft, whatever the recording: beat and no beat at one place,
 * anything rhythmic inside free time, a beat between tapped ones, and the like. None found does not mean that all can
 * hold; the solver finds the rest.
 */
export function clashes(locks: readonly Lock[], draft: LockDraft): readonly Lock[] {
  return locks.filter((lock) => clash(lock, draft));
}

/** True when two locks plainly cannot both hold; the order does not matter. */
export function clash(a: LockDraft, b: LockDraft): boolean {
  return clashOneWay(a, b) || clashOneWay(b, a);
}

function clashOneWay(a: LockDraft, b: LockDraft): boolean {
  const beats = beatsIn(b);
  const lines = barLinesIn(b);
  switch (a.kind) {
    case 'no-beat':
      return beats.some((beat) => isNear(beat, a.time));
    case 'not-downbeat':
      return lines.some((line) => isNear(line, a.time));
    case 'free':
      return beats.some((beat) => beat > a.from + TIME_TOLERANCE && beat < a.to - TIME_TOLERANCE) || tapsAcross(a, b);
    case 'tap':
      return (
        othersWithin(a.beats, beats) ||
        (a.downbeats.length > 0 && linesAgainst(a.beats, a.downbeats, lines)) ||
        (b.kind === 'bar-length' && lengthAgainstTaps(a, b))
      );
    case 'bar-lines':
      return othersWithin(a.starts, lines);
    case 'bar-length':
      return b.kind === 'bar-length' && sameTime(a.time, b.time) && !sameMeter(a.meter, b.meter);
    case 'edge':
      return beats.some((beat) =>
        a.edge === 'start' ? beat < a.time - TIME_TOLERANCE : beat >= a.time - TIME_TOLERANCE,
      );
    case 'beat':
    case 'downbeat':
    case 'meter':
    case 'tempo':
      return false;
  }
}

/** Beats that a lock puts down. */
function beatsIn(lock: LockDraft): readonly Seconds[] {
  switch (lock.kind) {
    case 'beat':
    case 'downbeat':
    case 'bar-length':
      return [lock.time];
    case 'tap':
      return lock.beats;
    case 'bar-lines':
      return lock.starts;
    case 'no-beat':
    case 'not-downbeat':
    case 'meter':
    case 'tempo':
    case 'free':
    case 'edge':
      return [];
  }
}

/** Starts of whole bars that a lock puts down. The bar of a bar length may be a pickup, so it is none of them. */
function barLinesIn(lock: LockDraft): readonly Seconds[] {
  switch (lock.kind) {
    case 'downbeat':
      return [lock.time];
    case 'tap':
      return lock.downbeats;
    case 'bar-lines':
      return lock.starts;
    case 'beat':
    case 'no-beat':
    case 'not-downbeat':
    case 'bar-length':
    case 'meter':
    case 'tempo':
    case 'free':
    case 'edge':
      return [];
  }
}

/** True when one of `times` lies between the first and the last of `list` and is none of them. */
function othersWithin(list: readonly Seconds[], times: readonly Seconds[]): boolean {
  const first = list[0] ?? Infinity;
  const last = list[list.length - 1] ?? -Infinity;
  return times.some((time) => time > first && time < last && !list.some((known) => sameTime(known, time)));
}

/** True when one of `lines` lies on or between the tapped beats and is no tapped beat 1. */
function linesAgainst(beats: readonly Seconds[], downbeats: readonly Seconds[], lines: readonly Seconds[]): boolean {
  const first = (beats[0] ?? Infinity) - TIME_TOLERANCE;
  const last = (beats[beats.length - 1] ?? -Infinity) + TIME_TOLERANCE;
  return lines.some((line) => line >= first && line <= last && !downbeats.some((known) => sameTime(known, line)));
}

/** True when the bar would begin on a tapped beat and end, counted in taps, where the taps say otherwise. */
function lengthAgainstTaps(
  tap: Extract<LockDraft, { kind: 'tap' }>,
  length: Extract<LockDraft, { kind: 'bar-length' }>,
): boolean {
  const at = tap.beats.findIndex((beat) => sameTime(beat, length.time));
  if (at < 0 || tap.downbeats.length === 0) return false;
  const after = at + beatStartsOf(length.meter);
  const isLine = (beat: Seconds): boolean => tap.downbeats.some((known) => sameTime(known, beat));
  if (tap.beats.slice(at + 1, after).some(isLine)) return true;
  const next = tap.beats[after];
  return next !== undefined && !isLine(next);
}

function tapsAcross({ from, to }: { readonly from: Seconds; readonly to: Seconds }, lock: LockDraft): boolean {
  if (lock.kind !== 'tap') return false;
  const first = lock.beats[0] ?? Infinity;
  const last = lock.beats[lock.beats.length - 1] ?? -Infinity;
  return Math.min(last, to) - Math.max(first, from) > 2 * TIME_TOLERANCE;
}

function isNear(a: Seconds, b: Seconds): boolean {
  return Math.abs(a - b) < NO_BEAT_RADIUS - TIME_TOLERANCE;
}
