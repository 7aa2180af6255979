import type { Lock } from './locks.js';
import type { LockDraft } from './song-map.js';

/**
 * The next free id with a prefix: "L13" after "L12". One more than the largest number in use, so the same list gives
 * the same id and nothing is random; ids of another form are passed over.
 */
export function nextId(prefix: string, list: readonly { readonly id: string }[]): string {
  let largest = 0;
  for (const { id } of list) {
    const number = id.startsWith(prefix) ? id.slice(prefix.length) : '';
    if (/^\d{1,9}$/.test(number)) largest = Math.max(largest, Number(number));
  }
  return `${prefix}${largest + 1}`;
}

/** The next free id of a lock; those that tempo locks keep are not free. */
export function nextLockId(locks: readonly (Lock | LockDraft)[]): string {
  return nextId('L', locks.flatMap(idsOf));
}

function idsOf(lock: Lock | LockDraft): readonly { readonly id: string }[] {
  const own = 'id' in lock ? [lock] : [];
  if (lock.kind !== 'tempo' || lock.kept === undefined) return own;
  return [...own, ...lock.kept.flatMap(({ locks }) => locks.map(({ was }) => was))];
}
