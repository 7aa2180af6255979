import { barEnd, barOf } from '../../model/map-queries.js';
import type { PassDifference, PassTable } from '../../model/pass-table.js';
import type { PlayStretch } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarIndex } from '../../music/units.js';
import type { Session } from '../kit/session.js';

/** A cell of a table of passes. */
export interface PassPlace {
  readonly table: PassTable;
  readonly pass: number;
  readonly column: number;
}

/** The passes of the section with this letter in the open song; undefined when it comes only once. */
export function tableOf({ passes }: Pick<Session, 'passes'>, letter: string): PassTable | undefined {
  return passes.value.find((table) => table.letter === letter);
}

/** Where a bar stands among the passes; undefined when its section comes only once. */
export function passPlaceOf(tables: readonly PassTable[], bar: BarIndex): PassPlace | undefined {
  for (const table of tables) {
    const pass = table.passes.findIndex(({ first, last }) => bar >= first && bar <= last);
    const column = pass < 0 ? -1 : table.columns.findIndex(({ bars }) => bars[pass] === bar);
    if (column >= 0) return { table, pass, column };
  }
  return undefined;
}

/** The differences that are seen at a place, its pass's key left out. */
export function differencesAt({ table, pass, column }: PassPlace): readonly PassDifference[] {
  return table.differences.filter((each) => each.kind !== 'key' && each.pass === pass && isIn(each, column));
}

function isIn(difference: PassDifference, column: number): boolean {
  const last = 'lastColumn' in difference ? difference.lastColumn : difference.column;
  return column >= difference.column && column <= last;
}

/**
 * The pass to compare a bar with: the first other one that has a bar there and from which nothing differs, else the first
 * other one that has a bar there.
 */
export function partnerOf(place: PassPlace): number | undefined {
  const { table, pass, column } = place;
  const others = table.passes.flatMap((_, other) =>
    other !== pass && (table.columns[column]?.bars[other] ?? null) !== null ? [other] : [],
  );
  return others.find((other) => differencesAt({ table, pass: other, column }).length === 0) ?? others[0];
}

/** What is heard of a cell: its bar; where the pass has none there, the bars on both sides of the gap. */
export function cellStretch(map: SongMap, { table, pass, column }: PassPlace): PlayStretch | undefined {
  const bar = table.columns[column]?.bars[pass] ?? null;
  if (bar !== null) return barsAsStretch(map, bar, bar);
  const own = table.columns.map(({ bars }) => bars[pass] ?? null);
  const before = own
    .slice(0, column)
    .filter((each) => each !== null)
    .at(-1);
  const after = own.slice(column + 1).find((each) => each !== null) ?? undefined;
  const [first, last] = [before ?? after, after ?? before];
  return first === undefined || last === undefined ? undefined : barsAsStretch(map, first, last);
}

/** What is heard of a difference: its bars, or the bars around those that are missing; of a key the first two bars. */
export function differenceStretch(map: SongMap, table: PassTable, difference: PassDifference): PlayStretch | undefined {
  const { pass, column } = difference;
  if (difference.kind === 'added') return barsAsStretch(map, difference.first, difference.last);
  const own = table.passes[pass];
  if (difference.kind === 'key') return own && barsAsStretch(map, own.first, Math.min(own.last, own.first + 1));
  return cellStretch(map, { table, pass, column });
}

function barsAsStretch(map: SongMap, first: BarIndex, last: BarIndex): PlayStretch | undefined {
  const from = barOf(map, first)?.start;
  const until = barEnd(map, last);
  return from === undefined || !(until > from) ? undefined : { from, until };
}
