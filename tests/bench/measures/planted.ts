import type { Evidence } from '../../../src/analysis/evidence/evidence.js';
import { findPasses } from '../../../src/analysis/passes/find-passes.js';
import { barStartingAt } from '../../../src/model/map-queries.js';
import type { PassDifference, PassTable } from '../../../src/model/pass-table.js';
import type { SongMap } from '../../../src/model/song-map.js';

/** A difference planted into one pass. */
export interface KnownPlant {
  /** Place among the sections. */
  readonly section: number;
  /** 'bar' is a bar more (`by` 1) or less (-1). */
  readonly kind: 'length' | 'chord' | 'added' | 'dropped' | 'bar' | 'key';
  /** Bar in the pass, from 0; of a dropped bar: where it would stand. */
  readonly bar: number;
  readonly by?: number;
}

export interface PlantTally {
  readonly planted: number;
  readonly found: number;
  /** Differences said that nobody planted. */
  readonly invented: number;
  /** Bars of all passes compared. */
  readonly bars: number;
  /** By kind of difference: planted, found, invented. */
  readonly kinds: Readonly<Record<string, readonly [number, number, number]>>;
}

/** A bar put in or left out among equal ones can be said of a neighbour as well. */
const NEIGHBOURS = 2;

/** How many planted differences findPasses says, and how many it invents. Those of sections that come once are not counted. */
export function judgePasses(map: SongMap, evidence: Evidence | undefined, plants: readonly KnownPlant[]): PlantTally {
  const tables = findPasses(map, evidence);
  const said = tables.flatMap((table) => table.differences.map((difference) => ({ table, difference })));
  const open = new Set(said);
  const kinds: Record<string, [number, number, number]> = {};
  const count = (kind: string, place: 0 | 1 | 2): void => {
    const tally = (kinds[kind] ??= [0, 0, 0]);
    tally[place] += 1;
  };
  for (const plant of plants) {
    const id = map.sections[plant.section]?.id ?? '';
    if (!tables.some(({ passes }) => passes.some(({ section }) => section === id))) continue;
    const kind = plant.kind === 'bar' ? ((plant.by ?? 1) > 0 ? 'added' : 'dropped') : plant.kind;
    count(kind, 0);
    const hit = [...open].find(({ table, difference }) => says(map, table, difference, { ...plant, kind }, id));
    if (!hit) continue;
    open.delete(hit);
    count(kind, 1);
  }
  for (const { difference } of open) count(difference.kind, 2);
  const total = (place: 0 | 1 | 2): number => Object.values(kinds).reduce((sum, tally) => sum + tally[place], 0);
  const bars = tables.flatMap(({ passes }) => passes).reduce((sum, { first, last }) => sum + last - first + 1, 0);
  return { planted: total(0), found: total(1), invented: total(2), bars, kinds };
}

function says(map: SongMap, table: PassTable, difference: PassDifference, plant: KnownPlant, id: string): boolean {
  const pass = table.passes[difference.pass];
  if (!pass || pass.section !== id || difference.kind !== plant.kind) return false;
  if (difference.kind === 'key') return plant.by === undefined || plant.by === difference.shift;
  const bar = (barStartingAt(map, difference.time) ?? pass.last + 1) - pass.first;
  const reach = difference.kind === 'added' || difference.kind === 'dropped' ? NEIGHBOURS : 0;
  return Math.abs(bar - plant.bar) <= reach;
}
