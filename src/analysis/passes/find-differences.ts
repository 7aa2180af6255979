import { beatStartsOf, sameMeter, type Meter } from '../../music/meter.js';
import { transposeChord } from '../../music/transpose.js';
import type { BarIndex } from '../../music/units.js';
import { barEnd, barOf, prevailingAt } from '../../model/map-queries.js';
import { isTyped, sameChords, soundingInBar } from '../../model/pass-chords.js';
import type { ChordDifference, ChordOnBeat, PassDifference, PassTable } from '../../model/pass-table.js';
import type { Bar, SongMap } from '../../model/song-map.js';
import { pooledSound, transposed, type BarSound } from './bar-sounds.js';
import { chordDoubt, type Variation } from './judge-chords.js';

/** A table whose differences are still to be found. */
export type DraftTable = Omit<PassTable, 'differences'>;

/** What the bars of a map sound like, and how much that varies where the same is played again. */
export interface HeardBars {
  /** By the map's bars. */
  readonly sounds: readonly BarSound[];
  /** By the table's passes: how far each is from the others anyway. */
  readonly variations: readonly Variation[];
}

export const DIFFERENCE_MODEL = {
  /** Other chords are said from this probability on. */
  chord: 0.15,
  /** The same where both bars have the same chords written, and by written suggestions alone. */
  sameWritten: 0.4,
  written: 0.8,
};

/** What differs between the passes of a table, pass by pass, in order of place. */
export function findDifferences(map: SongMap, draft: DraftTable, heard?: HeardBars): PassDifference[] {
  const chords = draft.columns.flatMap((_, column) => chordDifferences(map, draft, column, heard));
  const meters = draft.columns.map(({ bars }) => usualMeter(map, bars));
  return draft.passes.flatMap((_, pass) => [
    ...keyDifference(map, draft, pass),
    ...[
      ...lengthDifferences(map, draft, pass, meters),
      ...chords.filter((difference) => difference.pass === pass),
      ...gapDifferences(map, draft, pass),
    ].sort((a, b) => a.column - b.column),
  ]);
}

function keyDifference(map: SongMap, { passes }: DraftTable, pass: number): PassDifference[] {
  const { shift, first } = passes[pass] as (typeof passes)[number];
  const bar = barOf(map, first);
  return shift === 0 || !bar ? [] : [{ kind: 'key', pass, column: 0, time: bar.start, confidence: 0.9, shift }];
}

function lengthDifferences(
  map: SongMap,
  { columns }: DraftTable,
  pass: number,
  meters: readonly (Meter | undefined)[],
): PassDifference[] {
  return columns.flatMap(({ bars }, column): PassDifference[] => {
    const index = bars[pass];
    const bar = index === null || index === undefined ? undefined : barOf(map, index);
    const usual = meters[column];
    if (index === null || index === undefined || !bar || !usual || sameMeter(bar.meter, usual)) return [];
    return [
      {
        kind: 'length',
        pass,
        column,
        time: bar.start,
        confidence: bar.confidence,
        bar: index,
        meter: bar.meter,
        usual,
      },
    ];
  });
}

/** The commonest length in a column; of equally common ones the prevailing one, else that of the earliest pass. */
function usualMeter(map: SongMap, bars: readonly (BarIndex | null)[]): Meter | undefined {
  const present = bars.flatMap((bar) => (bar === null ? [] : (barOf(map, bar) ?? [])));
  const count = ({ meter }: Bar): number => present.filter((other) => sameMeter(other.meter, meter)).length;
  const counts = present.map(count);
  const most = Math.max(...counts);
  const common = present.filter((_, i) => counts[i] === most);
  return (common.find(({ meter, start }) => sameMeter(meter, prevailingAt(map, start))) ?? common[0])?.meter;
}

/** Runs of bars that this pass has more or less than usual. */
function gapDifferences(map: SongMap, { columns, passes }: DraftTable, pass: number): PassDifference[] {
  const found: PassDifference[] = [];
  const own = passes[pass] as (typeof passes)[number];
  let next = own.first;
  let open: { kind: 'added' | 'dropped'; column: number; bar: BarIndex } | undefined;
  let lastColumn = 0;
  const close = (): void => {
    if (!open) return;
    const { kind, column, bar } = open;
    const time = barOf(map, bar)?.start ?? barEnd(map, own.last);
    const base = { pass, column, time, confidence: confidenceAround(map, bar, next - 1) };
    if (kind === 'added') found.push({ ...base, kind, lastColumn, first: bar, last: next - 1 });
    else found.push({ ...base, kind, lastColumn, time: bar > own.last ? barEnd(map, own.last) : time });
    open = undefined;
  };
  columns.forEach(({ bars, usual }, column) => {
    const bar = bars[pass] ?? null;
    const kind = bar === null ? (usual ? 'dropped' : undefined) : usual ? 'present' : 'added';
    if (kind === undefined) return;
    if (open && open.kind !== kind) close();
    if (kind !== 'present') {
      open ??= { kind, column, bar: bar ?? next };
      lastColumn = column;
    }
    if (bar !== null) next = bar + 1;
  });
  close();
  return found;
}

function confidenceAround(map: SongMap, first: BarIndex, last: BarIndex): number {
  let least = 1;
  for (let bar = first; bar <= Math.max(first, last); bar++) least = Math.min(least, barOf(map, bar)?.confidence ?? 1);
  return least;
}

function chordDifferences(
  map: SongMap,
  draft: DraftTable,
  column: number,
  heard: HeardBars | undefined,
): ChordDifference[] {
  const cells = cellsOf(map, draft, column, heard);
  if (cells.length < 2) return [];
  const doubts = cells.map(() => cells.map(() => 0));
  for (let i = 0; i < cells.length; i++) {
    for (let j = 0; j < i; j++) {
      const doubt = doubtBetween(cells[j] as Cell, cells[i] as Cell, heard);
      (doubts[i] as number[])[j] = doubt;
      (doubts[j] as number[])[i] = doubt;
    }
  }
  const agreeing = doubts.map((row) => row.filter((doubt) => doubt < 0.5).length);
  const usual = agreeing.indexOf(Math.max(...agreeing));
  return cells.flatMap((cell, i): ChordDifference[] => {
    if (i === usual) return [];
    const others = cells.filter((_, j) => j !== i && (doubts[usual]?.[j] ?? 1) < 0.5);
    const doubt = doubtAgainst(cell, cells[usual] as Cell, others, heard);
    const shift = cell.shift;
    const wanted = (cells[usual] as Cell).chords.map(({ beat, harte }) => ({
      beat,
      harte: transposeChord(harte, shift, map.key),
    }));
    const own = soundingInBar(map, cell.bar).map(({ beat, harte }) => ({ beat, harte }));
    const beats = Math.min(cell.beats, (cells[usual] as Cell).beats);
    const alike = sameChords(own, wanted, beats);
    const { chord, sameWritten, written } = DIFFERENCE_MODEL;
    const least = !heard ? written : alike ? sameWritten : chord;
    if (doubt < least) return [];
    return [
      {
        kind: 'chord',
        pass: cell.pass,
        column,
        time: cell.time,
        confidence: doubt,
        bar: cell.bar,
        has: own,
        usual: wanted,
      },
    ];
  });
}

interface Cell {
  readonly pass: number;
  readonly bar: BarIndex;
  readonly time: number;
  readonly beats: number;
  readonly shift: number;
  readonly typed: boolean;
  /** In the key of the first pass. */
  readonly chords: readonly ChordOnBeat[];
  /** How sure all of them are. */
  readonly sure: number;
  readonly sound: BarSound | undefined;
}

function cellsOf(map: SongMap, { columns, passes }: DraftTable, column: number, heard: HeardBars | undefined): Cell[] {
  return (columns[column]?.bars ?? []).flatMap((bar, pass): Cell[] => {
    const found = bar === null ? undefined : barOf(map, bar);
    if (bar === null || !found) return [];
    const shift = passes[pass]?.shift ?? 0;
    const sounding = soundingInBar(map, bar);
    const sound = heard?.sounds[bar];
    return [
      {
        pass,
        bar,
        time: found.start,
        beats: beatStartsOf(found.meter),
        shift,
        typed: isTyped(map, bar),
        chords: sounding.map(({ beat, harte }) => ({ beat, harte: transposeChord(harte, -shift, map.key) })),
        sure: Math.min(...sounding.map(({ chord }) => chord.confidence)),
        sound: sound && transposed(sound, -shift),
      },
    ];
  });
}

/** Probability that two cells have other chords: by what is typed where both are, else by what was heard. */
function doubtBetween(a: Cell, b: Cell, heard: HeardBars | undefined): number {
  const byName = (a.typed && b.typed) || !heard;
  if (!byName) return a.sound && b.sound ? (doubtHeard(a, b.sound, heard) + doubtHeard(b, a.sound, heard)) / 2 : 0;
  if (a.chords.length === 0 || b.chords.length === 0 || sameChords(a.chords, b.chords, Math.min(a.beats, b.beats)))
    return 0;
  return Math.min(a.sure, b.sure);
}

/** The same against all that agree with the usual cell, heard together. */
function doubtAgainst(cell: Cell, usual: Cell, others: readonly Cell[], heard: HeardBars | undefined): number {
  const sounds = others.flatMap(({ sound }) => (sound ? [sound] : []));
  if (!heard || !cell.sound || (cell.typed && usual.typed) || sounds.length < 2)
    return doubtBetween(cell, usual, heard);
  return doubtHeard(cell, pooledSound(sounds), heard);
}

function doubtHeard(cell: Cell, other: BarSound, { variations }: HeardBars): number {
  const variation = variations[cell.pass];
  return cell.sound && variation ? chordDoubt(cell.sound, other, variation) : 0;
}
