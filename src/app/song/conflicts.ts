import { msg, str } from '@lit/localize';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import { describeLock } from '../../model/describe-lock.js';
import { liftLocks } from '../../model/edits/lift.js';
import type { Lock } from '../../model/locks.js';
import type { SongMap } from '../../model/song-map.js';
import { sentence } from '../kit/sentences.js';
import type { Notice } from '../kit/session.js';
import type { Solver } from './solver.js';

export type Around =
  | { readonly kind: 'solved'; readonly map: SongMap }
  /** The edit and these older locks cannot all hold; without them the edit can be done. */
  | { readonly kind: 'in the way'; readonly locks: readonly Lock[] }
  /** The edit cannot hold even alone. */
  | { readonly kind: 'impossible'; readonly locks: readonly Lock[] };

/**
 * Solves what `change` makes of `before`. When locks cannot all hold, goes on without the older ones among them until
 * the rest can, so that all that are in the way are known at once.
 */
export async function solveAround(
  solver: Solver,
  evidence: Evidence,
  before: SongMap,
  change: (map: SongMap) => SongMap,
): Promise<Around> {
  let inTheWay: readonly Lock[] = [];
  for (;;) {
    const edited = change(lifted(before, inTheWay));
    const outcome = await solver.solve(evidence, edited);
    if (outcome.ok)
      return inTheWay.length === 0 ? { kind: 'solved', map: outcome.map } : { kind: 'in the way', locks: inTheWay };
    const older = before.locks.filter(
      ({ id }) => outcome.conflict.includes(id) && !inTheWay.some((lock) => lock.id === id),
    );
    if (older.length === 0) {
      return { kind: 'impossible', locks: edited.locks.filter(({ id }) => outcome.conflict.includes(id)) };
    }
    inTheWay = [...inTheWay, ...older];
  }
}

/** Says why an edit was not applied, and offers the way out: lifting what is in the way and applying it, as one edit. */
export function conflictNotice(
  label: string,
  map: SongMap,
  conflict: Exclude<Around, { kind: 'solved' }>,
  again: (lift: (map: SongMap) => SongMap) => Promise<void>,
): Notice {
  const named = conflict.locks.map((lock) => describeLock(lock, map)).join('; ');
  if (conflict.kind === 'impossible') {
    const text = [
      msg(str`${sentence(label)}: not done, nothing was changed.`),
      ...(named ? [msg(str`This cannot hold here: ${named}.`)] : []),
    ];
    return { kind: 'error', text: text.join(' ') };
  }
  const { locks } = conflict;
  const count = locks.length;
  return {
    kind: 'error',
    text:
      count === 1
        ? msg(str`${sentence(label)}: not done, 1 lock is in the way: ${named}.`)
        : msg(str`${sentence(label)}: not done, ${count} locks are in the way: ${named}.`),
    action: {
      label: count === 1 ? msg('Lift this lock and apply') : msg(str`Lift these ${count} locks and apply`),
      run: () => again((now) => lifted(now, locks)),
    },
  };
}

function lifted(map: SongMap, locks: readonly Lock[]): SongMap {
  return locks.length === 0
    ? map
    : liftLocks(
        map,
        locks.map(({ id }) => id),
      );
}
