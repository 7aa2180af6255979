import { msg, str } from '@lit/localize';
import { barOf, sectionOfBar } from '../../model/map-queries.js';
import type { Section } from '../../model/song-map.js';
import {
  acceptSectionById,
  acceptSections,
  cutSectionAt,
  joinToSectionBefore,
  nameBars,
  refuseSectionById,
  renameSectionTo,
  SECTION_NAMES,
} from './section-actions.js';
import { barsText } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import { ask } from '../kit/ask.js';
import type { Command } from '../kit/session.js';
import { barsMeant, mapOf, onBars } from './targets.js';

/** What most of these commands share. */
const ON_BARS = onBars('sections');

export const SECTION_COMMANDS: readonly Command[] = [
  {
    id: 'section-name',
    label: msg('Name a section…'),
    key: { key: 'n' },
    ...ON_BARS,
    run: askName,
  },
  {
    id: 'section-accept',
    label: msg('Accept the suggested section'),
    key: { key: 'v' },
    scope: 'map',
    group: 'sections',
    allowed: (session) => sectionMeant(session)?.origin === 'suggested',
    run: (session) => withSection(session, acceptSectionById),
  },
  {
    id: 'section-accept-all',
    label: msg('Accept all suggested sections'),
    scope: 'map',
    group: 'sections',
    allowed: (session) => mapOf(session)?.sections.some(({ origin }) => origin === 'suggested') ?? false,
    run: (session) => acceptSections(session),
  },
  {
    id: 'section-refuse',
    label: msg('Refuse the section; its bars go to the one before'),
    key: { key: 'v', shift: true },
    ...ON_BARS,
    run: (session) => withSection(session, refuseSectionById),
  },
  {
    id: 'section-cut',
    label: msg('A section starts with this bar'),
    key: { key: 'k' },
    ...ON_BARS,
    run: async (session) => {
      const bars = barsMeant(session);
      if (bars) await cutSectionAt(session, bars.first);
    },
  },
  {
    id: 'section-join',
    label: msg('Join the section to the one before'),
    key: { key: 'j' },
    ...ON_BARS,
    run: (session) => withSection(session, joinToSectionBefore),
  },
];

/** The section of the selected bars' first one, else of the bar at the cursor. */
function sectionMeant(session: Session): Section | undefined {
  const map = mapOf(session);
  const bars = barsMeant(session);
  const place = map && bars ? sectionOfBar(map, bars.first) : undefined;
  return place === undefined ? undefined : map?.sections[place];
}

async function withSection(session: Session, act: (session: Session, id: string) => Promise<void>): Promise<void> {
  const section = sectionMeant(session);
  if (section) await act(session, section.id);
}

/** Selected bars become a section; without a selection the section at the cursor gets another name. */
function askName(session: Session): void {
  const map = mapOf(session);
  const bars = barsMeant(session);
  if (!map || !bars) return;
  const section = sectionMeant(session);
  const selected = session.view.selection.value;
  const rename = selected ? undefined : section;
  ask(session, {
    kind: 'section-name',
    label: rename
      ? msg(str`Another name for ${rename.name}`)
      : msg(str`Name for ${barsText(map, bars.first, bars.last)}`),
    value: section?.name ?? '',
    hint: rename ? msg('To name other bars, select them first.') : undefined,
    choices: SECTION_NAMES,
    bar: rename ? undefined : bars.first,
    check: (text) => (text.trim() ? undefined : msg('Type a name, or take one of those offered.')),
    take: async (text) => {
      if (rename) await renameSectionTo(session, rename.id, text);
      else if (barOf(map, bars.first)) await nameBars(session, bars, text);
    },
  });
}
