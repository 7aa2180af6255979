import { holds } from '../model/lock-holds.js';
import type { Lock } from '../model/locks.js';
import type { Doubt, Span } from '../model/song-map.js';
import type { Meter } from '../music/meter.js';
import type { Seconds } from '../music/units.js';
import { buildSpans } from './bars/build-spans.js';
import type { Evidence } from './evidence/evidence.js';
import { minimalConflict } from './locks/minimal-conflict.js';
import { rhythmDoubts } from './doubts/rhythm-doubts.js';
import { areCrowded, readLocks } from './locks/rhythm-locks.js';
import type { SolveOptions } from './solve-options.js';

/** Beats and bars as solved, or the ids of locks that cannot all hold (a smallest such set, the newest last). */
export type RhythmOutcome =
  | {
      readonly ok: true;
      readonly spans: readonly Span[];
      readonly prevailing: Meter;
      readonly start: Seconds;
      readonly end: Seconds;
      /** Worst first. */
      readonly doubts: readonly Doubt[];
    }
  | { readonly ok: false; readonly conflict: readonly string[] };

/**
 * Finds beats and bars that fit the evidence and hold every lock; `locks` oldest first.
 *
 * The first call with an evidence object is slow (it learns the song), later ones take milliseconds.
 */
export function solveRhythm(evidence: Evidence, locks: readonly Lock[], options: SolveOptions = {}): RhythmOutcome {
  const attempt = (some: readonly Lock[]) => {
    const read = readLocks(some, evidence.duration);
    if (!(read.start >= 0 && read.end <= evidence.duration + 1e-6 && read.end - read.start > 0.1)) return undefined;
    if (areCrowded(read.beats)) return undefined;
    for (const insist of [false, true]) {
      const built = buildSpans(evidence, read, insist, options);
      if (some.every((lock) => holds(built.spans, lock, read.start, read.end))) return { ...built, read };
      if (read.lengths.length === 0) break;
    }
    return undefined;
  };
  const solved = attempt(locks);
  if (!solved) {
    const conflict = minimalConflict(locks, (some) => attempt(some) !== undefined);
    return { ok: false, conflict: conflict.map((lock) => lock.id) };
  }
  const { spans, plan, read } = solved;
  return {
    ok: true,
    spans,
    prevailing: plan.prevailing,
    start: read.start,
    end: read.end,
    doubts: rhythmDoubts(evidence, solved, read),
  };
}
