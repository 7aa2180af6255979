import { msg } from '@lit/localize';
import type { Session } from '../kit/session.js';
import { worstFirst } from './doubts-state.js';
import type { Command } from '../kit/session.js';
import { mapOf } from '../map/targets.js';

export const DOUBT_COMMANDS: readonly Command[] = [
  {
    id: 'doubt-next',
    label: msg('Hear the next doubt'),
    key: { key: 'd' },
    scope: 'everywhere',
    group: 'doubts',
    allowed: hasDoubts,
    run: (session) => session.nextDoubt(1),
  },
  {
    id: 'doubt-previous',
    label: msg('Hear the doubt before'),
    key: { key: 'd', shift: true },
    scope: 'everywhere',
    group: 'doubts',
    allowed: hasDoubts,
    run: (session) => session.nextDoubt(-1),
  },
  {
    id: 'doubt-hear-other',
    label: msg('Hear the other reading'),
    key: { key: 'y', shift: true },
    scope: 'everywhere',
    group: 'doubts',
    allowed: (session) => (mapOf(session)?.doubts[session.view.doubt.value ?? -1]?.other.length ?? 0) > 0,
    run: async (session) => {
      const index = session.view.doubt.value;
      if (index !== undefined) await session.hearDoubt(index, 'other');
    },
  },
  {
    id: 'doubt-keep',
    label: msg('Take the shown reading'),
    key: { key: 'y' },
    scope: 'everywhere',
    group: 'doubts',
    allowed: hasDoubts,
    run: (session) => decide(session, 'keep'),
  },
  {
    id: 'doubt-other',
    label: msg('Take the other reading'),
    key: { key: 'x' },
    scope: 'everywhere',
    group: 'doubts',
    allowed: (session) => {
      const doubt = mapOf(session)?.doubts[session.view.doubt.value ?? -1];
      return hasDoubts(session) && (doubt === undefined || doubt.other.length > 0);
    },
    run: (session) => decide(session, 'other'),
  },
];

function hasDoubts(session: Session): boolean {
  return (mapOf(session)?.doubts.length ?? 0) > 0;
}

/** Decides the doubt being heard; when none is, the worst one is heard first, for nobody decides unheard. */
async function decide(session: Session, reading: 'keep' | 'other'): Promise<void> {
  const index = session.view.doubt.value;
  if (index !== undefined) return session.decideDoubt(index, reading);
  const map = mapOf(session);
  const worst = map && worstFirst(map)[0];
  if (worst !== undefined) await session.hearDoubt(worst);
}
