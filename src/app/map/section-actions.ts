import { msg, str } from '@lit/localize';
import {
  acceptAllSections,
  acceptSection,
  mergeSections,
  moveSectionEdge,
  nameSection,
  refuseSection,
  renameSection,
  setStrum,
  setSwing,
  splitSection,
} from '../../model/edits/sections.js';
import { barName, barOf } from '../../model/map-queries.js';
import type { Section, SongMap } from '../../model/song-map.js';
import { strumText, type Strum } from '../../music/strum.js';
import type { BarIndex } from '../../music/units.js';
import { numberText } from '../../music/number-text.js';
import { barsText } from '../kit/sentences.js';
import { barAgain } from './bar-actions.js';
import type { Editing } from '../song/editing.js';

/** Trade names offered for sections (common practice, no source). */
export const SECTION_NAMES = [
  msg('Intro'),
  msg('Verse'),
  msg('Pre-chorus'),
  msg('Chorus'),
  msg('Bridge'),
  msg('Solo'),
  msg('Interlude'),
  msg('Tag'),
  msg('Outro'),
] as const;

/** The bars are one section of this name. */
export async function nameBars(
  session: Editing,
  range: { readonly first: BarIndex; readonly last: BarIndex },
  name: string,
): Promise<void> {
  const map = session.song.value?.map;
  const from = map && barOf(map, range.first)?.start;
  const to = map && barOf(map, range.last)?.start;
  if (!map || from === undefined || to === undefined) return;
  const label = `${barsText(map, range.first, range.last)}: ${name.trim()}`;
  await session.edit(label, (now) => nameSection(now, barAgain(now, from), barAgain(now, to), name));
}

export async function renameSectionTo(session: Editing, id: string, name: string): Promise<void> {
  await onSection(
    session,
    id,
    (section) => msg(str`${section.name} is called ${name.trim()}`),
    (map) => renameSection(map, id, name),
  );
}

export async function acceptSectionById(session: Editing, id: string): Promise<void> {
  await onSection(
    session,
    id,
    (section) => msg(str`${section.name} accepted`),
    (map) => acceptSection(map, id),
  );
}

export async function acceptSections(session: Editing): Promise<void> {
  if (session.song.value) await session.edit(msg('all sections accepted'), acceptAllSections);
}

/** The section's bars go to the one before it. */
export async function refuseSectionById(session: Editing, id: string): Promise<void> {
  await onSection(
    session,
    id,
    (section) => msg(str`${section.name} refused`),
    (map) => refuseSection(map, id),
  );
}

/** The section and the one before it become one. */
export async function joinToSectionBefore(session: Editing, id: string): Promise<void> {
  const sections = session.song.value?.map.sections ?? [];
  const before = sections[sections.findIndex((section) => section.id === id) - 1];
  if (!before) {
    session.say({ kind: 'info', text: msg('There is no section before this one to join it to.') });
    return;
  }
  await onSection(
    session,
    id,
    (section) => msg(str`${before.name} and ${section.name} joined`),
    (map) => mergeSections(map, before.id, id),
  );
}

/** Cuts the section that holds the bar in two before that bar. */
export async function cutSectionAt(session: Editing, bar: BarIndex): Promise<void> {
  const map = session.song.value?.map;
  const start = map && barOf(map, bar)?.start;
  if (!map || start === undefined) return;
  await session.edit(msg(str`a section starts at ${barName(map, bar)}`), (now) =>
    splitSection(now, barAgain(now, start)),
  );
}

/** The section starts at another bar. */
export async function moveSectionStart(session: Editing, id: string, bar: BarIndex): Promise<void> {
  const map = session.song.value?.map;
  const start = map && barOf(map, bar)?.start;
  if (!map || start === undefined) return;
  await onSection(
    session,
    id,
    (section) => msg(str`${section.name} starts at ${barName(map, bar)}`),
    (now) => moveSectionEdge(now, id, barAgain(now, start)),
  );
}

/** Swing of the section: 1 (straight) to 3; undefined takes it away. */
export async function setSectionSwing(session: Editing, id: string, ratio: number | undefined): Promise<void> {
  const said =
    ratio === undefined
      ? msg('no swing set')
      : ratio === 1
        ? msg('straight')
        : msg(str`swing ${numberText(ratio, 2)} to 1`);
  await onSection(
    session,
    id,
    (section) => `${section.name}: ${said}`,
    (map) => setSwing(map, id, ratio),
  );
}

/** How the section and its other passes are strummed; undefined takes it away. */
export async function setSectionStrum(session: Editing, id: string, strum: Strum | undefined): Promise<void> {
  await onSection(
    session,
    id,
    (section) => `${section.name}: ${strum ? msg(str`strum ${strumText(strum)}`) : msg('no strum set')}`,
    (map) => setStrum(map, id, strum),
  );
}

async function onSection(
  session: Editing,
  id: string,
  label: (section: Section) => string,
  change: (map: SongMap) => SongMap,
): Promise<void> {
  const section = session.song.value?.map.sections.find((each) => each.id === id);
  if (section) await session.edit(label(section), change);
}
