import { msg, str } from '@lit/localize';
import type { Seconds } from '../../music/units.js';
import { nextLockId } from '../ids.js';
import { checkLock } from '../invariants.js';
import { NO_BEAT_RADIUS, type Lock } from '../locks.js';
import type { LockDraft, SongMap } from '../song-map.js';
import { EditProblem } from './problem.js';
import { supersede } from './supersede.js';

/**
 * The map with more locks, the newest last. A draft that decides something anew replaces the older decision (see
 * supersede); tapped beats take the exact place of a beat that is locked close by. Spans, sections and chords stay as
 * they are: solve again. Throws EditProblem on a draft with impossible numbers.
 */
export function addLocks(map: SongMap, drafts: readonly LockDraft[]): SongMap {
  return drafts.reduce(addLock, map);
}

/** The locks of a doubt's reading, or of a file: the same as addLocks. */
export const applyDrafts = addLocks;

function addLock(map: SongMap, given: LockDraft): SongMap {
  const faults = checkLock(given);
  if (faults.length > 0) {
    const reasons = faults.join('; ');
    throw new EditProblem(msg(str`That cannot be set: ${reasons}.`));
  }
  const draft = given.kind === 'tap' ? atLockedBeats(map.locks, given) : given;
  const locks: Lock[] = [];
  // Counted from all locks, so that the id of a lock just replaced is not given to another one at once.
  const freeId = (): string => nextLockId([...map.locks, ...locks, draft]);
  for (const old of map.locks) {
    const [first, second] = supersede(map, old, draft);
    if (first) locks.push(first);
    if (second) locks.push({ ...second, id: freeId() });
  }
  locks.push({ ...draft, id: freeId() } as Lock);
  return { ...map, locks };
}

/** A tap says how many beats there are; where one of them is was perhaps said more exactly before. */
function atLockedBeats(
  locks: readonly Lock[],
  tap: Extract<LockDraft, { kind: 'tap' }>,
): Extract<LockDraft, { kind: 'tap' }> {
  const exact = locks.flatMap((lock): readonly Seconds[] => {
    if (lock.kind === 'beat' || lock.kind === 'downbeat' || lock.kind === 'bar-length') return [lock.time];
    return lock.kind === 'bar-lines' ? lock.starts : [];
  });
  const moved = new Map<Seconds, Seconds>();
  for (const time of exact) {
    const near = tap.beats.filter((beat) => Math.abs(beat - time) < NO_BEAT_RADIUS);
    const nearest = near.sort((a, b) => Math.abs(a - time) - Math.abs(b - time))[0];
    if (nearest !== undefined) moved.set(nearest, time);
  }
  const at = (beat: Seconds): Seconds => moved.get(beat) ?? beat;
  const beats = tap.beats.map(at);
  // Two locked beats closer together than taps can tell apart: leave the taps, and let the clash be said.
  if (beats.some((beat, i) => beat >= (beats[i + 1] ?? Infinity))) return tap;
  return { ...tap, beats, downbeats: tap.downbeats.map((beat) => at(nearestOf(tap.beats, beat))) };
}

function nearestOf(times: readonly Seconds[], time: Seconds): Seconds {
  return times.reduce((best, other) => (Math.abs(other - time) < Math.abs(best - time) ? other : best));
}
