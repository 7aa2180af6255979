import type { SongMap } from '../../src/model/song-map.js';

/** Locks in short: "downbeat 2", "tap 0 0.5 1 | 0". */
export function shownLocks(map: SongMap): string[] {
  return map.locks.map((lock) => {
    switch (lock.kind) {
      case 'bar-length':
        return `bar-length ${lock.time}: ${lock.meter.count}/${lock.meter.unit}`;
      case 'meter':
        return `meter ${lock.from}-${lock.to}: ${lock.meter.count}/${lock.meter.unit}`;
      case 'tempo':
        return `tempo ${lock.from}-${lock.to}: ${lock.period}`;
      case 'tap':
        return `tap ${lock.beats.join(' ')} | ${lock.downbeats.join(' ')}`.trim();
      case 'bar-lines':
        return `bar-lines ${lock.starts.join(' ')}`;
      case 'free':
        return `free ${lock.from}-${lock.to}`;
      case 'edge':
        return `${lock.edge} ${lock.time}`;
      case 'beat':
      case 'no-beat':
      case 'downbeat':
      case 'not-downbeat':
        return `${lock.kind} ${lock.time}`;
    }
  });
}
