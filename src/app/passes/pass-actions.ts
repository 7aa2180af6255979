import { msg, str } from '@lit/localize';
import { setChords } from '../../model/edits/chords.js';
import { heedDifference, ignoreDifference, makeSame } from '../../model/edits/passes.js';
import { EditProblem } from '../../model/edits/problem.js';
import { sameTime } from '../../model/lock-holds.js';
import { barOf, barsOf } from '../../model/map-queries.js';
import { isTyped, soundingInBar } from '../../model/pass-chords.js';
import { barInPass, type PassDifference, type PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { sentence } from '../kit/sentences.js';
import type { Editing } from '../song/editing.js';

export interface SameWish {
  readonly table: PassTable;
  readonly column: number;
  /** The pass that is right. */
  readonly from: number;
  /** The passes that become like it. */
  readonly to: readonly number[];
  readonly what: 'chords' | 'lengths';
}

/**
 * Makes one bar of some passes like that of another, as one edit; says what gave way or could not be copied. The bar that is
 * right becomes the user's own too: what was only suggested there could be suggested otherwise tomorrow.
 */
export async function makeBarsSame(session: Editing, wish: SameWish): Promise<void> {
  const map = session.song.value?.map;
  const { table, column, from, what } = wish;
  const bar = table.columns[column]?.bars[from] ?? null;
  const own = table.passes[from];
  if (!map || bar === null || !own) return;
  let notes: readonly string[] = [];
  const place = msg(str`${table.name} bar ${barInPass(own, bar)}`);
  const label =
    what === 'chords'
      ? msg(str`${place}: chords as in pass ${from + 1}`)
      : msg(str`${place}: length as in pass ${from + 1}`);
  await session.edit(label, (now) => {
    theSameBars(map, now, table);
    const outcome = makeSame(what === 'chords' ? typedIn(now, bar) : now, {
      ...wish,
      firstColumn: column,
      lastColumn: column,
    });
    notes = outcome.notes;
    return outcome.map;
  });
  if (session.song.value?.undoLabel !== label || notes.length === 0) return;
  session.say({ kind: 'info', text: `${sentence(label)}. ${notes.join(' ')}` });
}

/** The user does not want to hear of these differences any more. */
export async function ignoreDifferences(
  session: Editing,
  words: string,
  all: readonly PassDifference[],
): Promise<void> {
  await session.edit(msg(str`ignored: ${words}`), (now) => all.reduce(ignoreDifference, now));
}

/** The user wants to hear of these again. */
export async function heedDifferences(session: Editing, words: string, all: readonly PassDifference[]): Promise<void> {
  await session.edit(msg(str`no longer ignored: ${words}`), (now) => all.reduce(heedDifference, now));
}

function typedIn(map: SongMap, bar: number): SongMap {
  const sounding = soundingInBar(map, bar);
  return sounding.length === 0 || isTyped(map, bar) ? map : setChords(map, bar, sounding);
}

/** A table speaks of the bars of one map by their places: an edit before this one may have moved them. */
function theSameBars(then: SongMap, now: SongMap, { passes }: PassTable): void {
  const same =
    then === now ||
    (barsOf(then).length === barsOf(now).length &&
      passes.every(({ first, last }) =>
        [first, last].every((bar) => sameTime(barOf(then, bar)?.start ?? NaN, barOf(now, bar)?.start ?? NaN)),
      ));
  if (!same) throw new EditProblem(msg('The bars of these passes have changed meanwhile: look again, then choose.'));
}
