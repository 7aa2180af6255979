import type { Seconds } from '../music/units.js';
import type { Meter } from '../music/meter.js';

/**
 * What a user decided. Locks are placed in time, never by bar number, so they keep their place whatever is solved
 * around them. Every lock is a hard constraint: no solve moves a locked thing.
 */
export type Lock =
  | BeatLock
  | NoBeatLock
  | DownbeatLock
  | NotDownbeatLock
  | BarLengthLock
  | MeterLock
  | TempoLock
  | TapLock
  | BarLinesLock
  | FreeLock
  | EdgeLock;

interface LockBase {
  readonly id: string;
}

/** A beat is exactly at `time`. */
export interface BeatLock extends LockBase {
  readonly kind: 'beat';
  readonly time: Seconds;
}

/** No beat within NO_BEAT_RADIUS of `time`. */
export interface NoBeatLock extends LockBase {
  readonly kind: 'no-beat';
  readonly time: Seconds;
}

/** A bar starts exactly at `time`. */
export interface DownbeatLock extends LockBase {
  readonly kind: 'downbeat';
  readonly time: Seconds;
}

/** The beat at `time`, if there is one within NO_BEAT_RADIUS, does not begin a bar. */
export interface NotDownbeatLock extends LockBase {
  readonly kind: 'not-downbeat';
  readonly time: Seconds;
}

/** The bar that starts at `time` (a bar must) has this measure. */
export interface BarLengthLock extends LockBase {
  readonly kind: 'bar-length';
  readonly time: Seconds;
  readonly meter: Meter;
}

/** From `from` to `to` the prevailing time signature is `meter`; bars of other lengths stay possible. */
export interface MeterLock extends LockBase {
  readonly kind: 'meter';
  readonly from: Seconds;
  readonly to: Seconds;
  readonly meter: Meter;
}

/** From `from` to `to` a beat lasts about `period` seconds, within a factor of the square root of 2. */
export interface TempoLock extends LockBase {
  readonly kind: 'tempo';
  readonly from: Seconds;
  readonly to: Seconds;
  readonly period: Seconds;
  /** Locks that lost something when the tempo was halved or doubled on the way to this one; not in force themselves. */
  readonly kept?: readonly KeptLocks[];
}

/**
 * Locks as they were at another tempo, each with what it is now; without `now` it cannot be said any more (a beat between
 * the beats). Going back to that tempo brings back those that are still unchanged. None of them is a tempo lock.
 */
export interface KeptLocks {
  /** Beats of that tempo to one beat of this: 2 before it was halved, 4 before it was halved twice, 0.5 before doubled. */
  readonly ratio: number;
  readonly locks: readonly { readonly was: Lock; readonly now?: Lock }[];
}

/** From the first to the last of `beats` the beats are exactly these: tapped or imported. One group, lifted as one. */
export interface TapLock extends LockBase {
  readonly kind: 'tap';
  readonly beats: readonly Seconds[];
  /** Those of `beats` that begin a bar; empty leaves the bars to the solver. */
  readonly downbeats: readonly Seconds[];
}

/** From the first to the last of `starts` the bars start at exactly these times ("bar lines one beat later from here on"). */
export interface BarLinesLock extends LockBase {
  readonly kind: 'bar-lines';
  readonly starts: readonly Seconds[];
}

/** From `from` to `to` there is no steady beat. */
export interface FreeLock extends LockBase {
  readonly kind: 'free';
  readonly from: Seconds;
  readonly to: Seconds;
}

/** The first or the last moment of the map. */
export interface EdgeLock extends LockBase {
  readonly kind: 'edge';
  readonly edge: 'start' | 'end';
  readonly time: Seconds;
}

/** Seconds either side of a "no beat" or "not beat 1" lock that it covers. */
export const NO_BEAT_RADIUS: Seconds = 0.07;
