import type { Evidence } from '../analysis/evidence.js';
import { solveMap } from '../analysis/solve.js';
import { describeLock } from '../model/describe-lock.js';
import { addLocks } from '../model/edits/add-locks.js';
import type { SongMap } from '../model/song-map.js';
import { LocksProblem, readLocks } from './read-locks.js';

/** The map solved around the locks of a file, JSON text. Throws LocksProblem for a bad file and for locks that clash. */
export function applyLocks(map: SongMap, evidence: Evidence, text: string): SongMap {
  const locked = addLocks(map, readLocks(text, map));
  const outcome = solveMap(evidence, locked);
  if (outcome.ok) return outcome.map;
  const words = locked.locks
    .filter((lock) => outcome.conflict.includes(lock.id))
    .map((lock) => describeLock(lock, map))
    .join('; ');
  throw new LocksProblem(`these locks cannot all hold: ${words}. Take one of them out of the file of locks.`);
}
