import type { Seconds } from '../../music/units.js';
import { sameTime, TIME_TOLERANCE } from '../lock-holds.js';
import { NO_BEAT_RADIUS } from '../locks.js';
import type { SongMap } from '../song-map.js';
import { openEdge } from './edge.js';

/** Takes a lock back. */
export function liftLock(map: SongMap, id: string): SongMap {
  return liftLocks(map, [id]);
}

/** Takes locks back. With an edge lifted the map reaches to the recording's own start or end again. */
export function liftLocks(map: SongMap, ids: readonly string[]): SongMap {
  const lifted = map.locks.filter((lock) => ids.includes(lock.id));
  if (lifted.length === 0) return map;
  const next = { ...map, locks: map.locks.filter((lock) => !ids.includes(lock.id)) };
  return lifted.reduce<SongMap>((open, lock) => {
    return lock.kind === 'edge' ? openEdge(open, lock.edge) : open;
  }, next);
}

/** The locks that the pin at a place stands for: those on this time or, for a stretch, those that begin or hold it. */
export function locksAt(map: SongMap, time: Seconds): readonly string[] {
  return map.locks
    .filter((lock) => {
      switch (lock.kind) {
        case 'beat':
        case 'downbeat':
        case 'bar-length':
        case 'edge':
          return sameTime(lock.time, time);
        case 'no-beat':
        case 'not-downbeat':
          return Math.abs(lock.time - time) < NO_BEAT_RADIUS;
        case 'tap':
          return isBetween(lock.beats, time);
        case 'bar-lines':
          return isBetween(lock.starts, time);
        case 'meter':
        case 'tempo':
        case 'free':
          return time >= lock.from - TIME_TOLERANCE && time < lock.to - TIME_TOLERANCE;
      }
    })
    .map((lock) => lock.id);
}

function isBetween(times: readonly Seconds[], time: Seconds): boolean {
  const first = times[0] ?? Infinity;
  const last = times[times.length - 1] ?? -Infinity;
  return time >= first - TIME_TOLERANCE && time <= last + TIME_TOLERANCE;
}
