import type { Seconds } from '../music/units.js';
import type { Lock } from './locks.js';

/** From where to where a lock holds; both ends are the same for a lock at one moment. */
export function lockStretch(lock: Lock): { readonly from: Seconds; readonly to: Seconds } {
  switch (lock.kind) {
    case 'beat':
    case 'no-beat':
    case 'downbeat':
    case 'not-downbeat':
    case 'bar-length':
    case 'edge':
      return { from: lock.time, to: lock.time };
    case 'meter':
    case 'tempo':
    case 'free':
      return { from: lock.from, to: lock.to };
    case 'tap':
      return { from: lock.beats[0] ?? 0, to: lock.beats.at(-1) ?? 0 };
    case 'bar-lines':
      return { from: lock.starts[0] ?? 0, to: lock.starts.at(-1) ?? 0 };
  }
}
