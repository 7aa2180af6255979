import { msg, str } from '@lit/localize';
import { nextId } from '../ids.js';
import type { Arrangement, ArrangementItem, SongMap } from '../song-map.js';
import { cleanName } from './clean-name.js';
import { EditProblem } from './problem.js';

/** Most items of an arrangement, and most arrangements of a song: more than anybody plays. */
const MOST_ITEMS = 500;
const MOST = 100;

/** A new arrangement at the end of the list; its id is one more than the largest. Throws EditProblem for a name of nothing. */
export function addArrangement(map: SongMap, name: string, items: readonly ArrangementItem[]): SongMap {
  const list = map.arrangements ?? [];
  if (list.length >= MOST)
    throw new EditProblem(msg(str`A song has at most ${MOST} arrangements: take one away first.`));
  return { ...map, arrangements: [...list, { id: nextId('R', list), name: named(name), items: checked(items) }] };
}

/** Other items, another name, or both. Throws EditProblem when there is no such arrangement. */
export function changeArrangement(
  map: SongMap,
  id: string,
  change: { readonly name?: string; readonly items?: readonly ArrangementItem[] },
): SongMap {
  theArrangement(map, id);
  const changed = (one: Arrangement): Arrangement => ({
    ...one,
    ...(change.name === undefined ? {} : { name: named(change.name) }),
    ...(change.items === undefined ? {} : { items: checked(change.items) }),
  });
  return { ...map, arrangements: (map.arrangements ?? []).map((one) => (one.id === id ? changed(one) : one)) };
}

export function removeArrangement(map: SongMap, id: string): SongMap {
  theArrangement(map, id);
  const { arrangements = [], ...rest } = map;
  const left = arrangements.filter((one) => one.id !== id);
  return left.length > 0 ? { ...rest, arrangements: left } : rest;
}

function named(name: string): string {
  return cleanName(name, msg('An arrangement needs a name: type one, like short version.'));
}

function theArrangement(map: SongMap, id: string): Arrangement {
  const found = map.arrangements?.find((one) => one.id === id);
  if (!found) throw new EditProblem(msg('That arrangement is not there any more: choose another one.'));
  return found;
}

function checked(items: readonly ArrangementItem[]): readonly ArrangementItem[] {
  if (items.length > MOST_ITEMS)
    throw new EditProblem(msg(str`An arrangement has at most ${MOST_ITEMS} sections: take some out first.`));
  return items.map(({ time, early }) => (early ? { time, early: Math.round(Math.min(64, early)) } : { time }));
}
