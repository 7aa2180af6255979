import { msg, str } from '@lit/localize';
import { addArrangement, changeArrangement, removeArrangement } from '../../model/edits/arrangements.js';
import { itemOf } from '../../model/play-order.js';
import type { Arrangement, ArrangementItem } from '../../model/song-map.js';
import type { Session } from '../kit/session.js';

type Arranging = Pick<Session, 'song' | 'edit' | 'practice'>;

/** A new arrangement of all sections in their order, to be changed; it is the one that is played from now on. */
export async function newArrangement(session: Arranging): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const count = (map.arrangements?.length ?? 0) + 1;
  const items = map.sections.flatMap((_, i) => itemOf(map, i) ?? []);
  const name = msg(str`Arrangement ${count}`);
  await session.edit(msg(str`new arrangement "${name}"`), (now) => addArrangement(now, name, items));
  chooseArrangement(session, session.song.value?.map.arrangements?.at(-1)?.id);
}

/** Plays this arrangement from now on; undefined: the song as it was recorded. */
export function chooseArrangement({ practice }: Arranging, id: string | undefined): void {
  const { arrangement: _, ...rest } = practice.value;
  practice.value = id === undefined ? rest : { ...rest, arrangement: id };
}

export async function dropArrangement(session: Arranging, { id, name }: Arrangement): Promise<void> {
  await session.edit(msg(str`arrangement "${name}" taken away`), (map) => removeArrangement(map, id));
  chooseArrangement(session, undefined);
}

export async function renameArrangement(session: Arranging, { id }: Arrangement, name: string): Promise<void> {
  await session.edit(msg(str`arrangement named "${name.trim()}"`), (map) => changeArrangement(map, id, { name }));
}

async function withItems(
  session: Arranging,
  { id, name }: Arrangement,
  said: string,
  items: readonly ArrangementItem[],
): Promise<void> {
  await session.edit(`${name}: ${said}`, (map) => changeArrangement(map, id, { items }));
}

/** Adds a section, by its place among the song's, at the end. */
export async function addItem(session: Arranging, arrangement: Arrangement, section: number): Promise<void> {
  const map = session.song.value?.map;
  const item = map && itemOf(map, section);
  if (!item) return;
  const called = map.sections[section]?.name ?? msg('section');
  await withItems(session, arrangement, msg(str`${called} added`), [...arrangement.items, item]);
}

export async function removeItem(session: Arranging, arrangement: Arrangement, place: number): Promise<void> {
  const items = arrangement.items.filter((_, i) => i !== place);
  await withItems(session, arrangement, msg(str`${place + 1}. taken out`), items);
}

/** Moves an item one place earlier (-1) or later (1). */
export async function moveItem(session: Arranging, arrangement: Arrangement, place: number, by: 1 | -1): Promise<void> {
  const items = [...arrangement.items];
  const [item] = items.splice(place, 1);
  if (!item || place + by < 0 || place + by > items.length) return;
  items.splice(place + by, 0, item);
  const said = by < 0 ? msg(str`${place + 1}. moved up`) : msg(str`${place + 1}. moved down`);
  await withItems(session, arrangement, said, items);
}

/** How many beats before its first bar an item begins. */
export async function setEarly(
  session: Arranging,
  arrangement: Arrangement,
  place: number,
  early: number,
): Promise<void> {
  const items = arrangement.items.map((item, i) => (i === place ? { ...item, early } : item));
  await withItems(session, arrangement, msg(str`${place + 1}. begins ${early} beats early`), items);
}
