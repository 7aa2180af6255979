import type { Evidence } from '../analysis/evidence/evidence.js';
import { solveMap } from '../analysis/solve.js';
import { describeLock } from '../model/describe-lock.js';
import { clash } from '../model/clashes.js';
import { addLocks } from '../model/edits/add-locks.js';
import type { LockDraft, SongMap } from '../model/song-map.js';
import { LocksProblem, readLocks } from './read-locks.js';

/** The map solved around the locks of a file, JSON text. Throws LocksProblem for a bad file and for locks that clash. */
export function applyLocks(map: SongMap, evidence: Evidence, text: string): SongMap {
  const drafts = readLocks(text, map);
  drafts.forEach((draft, i) => {
    // A later lock would silently take the place of an earlier one.
    const earlier = drafts.slice(0, i).findIndex((other) => clash(other, draft));
    if (earlier >= 0) throw conflict([drafts[earlier] as LockDraft, draft], map);
  });
  const locked = addLocks(map, drafts);
  const outcome = solveMap(evidence, locked);
  if (outcome.ok) return outcome.map;
  throw conflict(
    locked.locks.filter((lock) => outcome.conflict.includes(lock.id)),
    map,
  );
}

function conflict(locks: readonly LockDraft[], map: SongMap): LocksProblem {
  const words = locks.map((lock) => describeLock(lock, map)).join('; ');
  return new LocksProblem(`these locks cannot all hold: ${words}. Take one of them out of the file of locks.`);
}
