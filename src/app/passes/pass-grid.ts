import { barOf, isIrregular, prevailingAt } from '../../model/map-queries.js';
import { soundingInBar } from '../../model/pass-chords.js';
import { barInPass, isIgnored, type PassDifference, type PassTable } from '../../model/pass-table.js';
import { shownMap } from '../../model/shown-chords.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarIndex } from '../../music/units.js';
import { differencesAt } from './pass-places.js';
import { barWidth, beatXs } from '../map/map-view/bar-scale.js';
import { chordText, notchText } from '../map/map-view/boxes.js';
import { fitLabel, type Label } from '../map/map-view/labels.js';

/** One bar of one pass, or the place where it has none. Lengths are in beats of the prevailing time signature. */
export interface PassCell {
  /** 'gap': the usual bar is missing here; 'blank': only other passes have a bar here. */
  readonly kind: 'bar' | 'gap' | 'blank';
  readonly pass: number;
  readonly column: number;
  readonly width: number;
  readonly bar?: BarIndex;
  /** The bar's number in its pass, as sentences say it. */
  readonly number?: number;
  readonly chords: readonly CellChord[];
  /** Length where it is not the usual one of the song or of this place: "3", "6/8". */
  readonly notch?: string;
  /** What differs and is not ignored; a key is said of the whole pass. */
  readonly open: readonly PassDifference[];
  readonly ignored: readonly PassDifference[];
}

export interface CellChord {
  readonly text: string;
  readonly x: number;
  /** How far it is to the next chord or the bar's end. */
  readonly room: number;
  /** It sounds on from the bar before. */
  readonly held: boolean;
}

/** Columns that stand side by side, every pass under one another. */
export interface PassBlock {
  readonly first: number;
  readonly last: number;
  /** Width of each column: that of its longest bar. */
  readonly widths: readonly number[];
}

/** Every cell of a table: by pass, then by column; chords as the map shows them. */
export function passCells(map: SongMap, table: PassTable): readonly (readonly PassCell[])[] {
  return table.passes.map((_, pass) => table.columns.map((_column, column) => cellOf(map, table, pass, column)));
}

function cellOf(map: SongMap, table: PassTable, pass: number, column: number): PassCell {
  const found = table.columns[column];
  const own = table.passes[pass];
  const index = found?.bars[pass] ?? null;
  const bar = index === null ? undefined : barOf(map, index);
  const all = differencesAt({ table, pass, column });
  const open = all.filter((each) => !isIgnored(map, each));
  const base = { pass, column, open, ignored: all.filter((each) => !open.includes(each)) };
  if (!bar || index === null || !own) {
    return { ...base, kind: found?.usual ? 'gap' : 'blank', width: columnWidth(map, table, column), chords: [] };
  }
  const width = barWidth(bar.meter, map.prevailing);
  const isOdd = isIrregular(map, index) || open.some(({ kind }) => kind === 'length');
  return {
    ...base,
    kind: 'bar',
    width,
    bar: index,
    number: barInPass(own, index),
    chords: chordsOf(map, index, beatXs(bar.meter, map.prevailing), width),
    ...(isOdd ? { notch: notchText(bar.meter, prevailingAt(map, bar.start)) } : {}),
  };
}

function chordsOf(map: SongMap, bar: BarIndex, xs: readonly number[], width: number): CellChord[] {
  const shown = soundingInBar(shownMap(map), bar);
  const start = barOf(map, bar)?.start ?? 0;
  const places = shown.map(({ beat }) => {
    const whole = Math.floor(beat);
    const from = xs[whole] ?? 0;
    return from + (beat - whole) * ((xs[whole + 1] ?? width) - from);
  });
  return shown.map(({ harte, chord }, i) => ({
    text: chordText(harte),
    x: places[i] ?? 0,
    room: (places[i + 1] ?? width) - (places[i] ?? 0),
    held: i === 0 && chord.time < start - 0.02,
  }));
}

/** Width of the longest bar that stands in a column. */
function columnWidth(map: SongMap, table: PassTable, column: number): number {
  const bars = table.columns[column]?.bars ?? [];
  const widths = bars.flatMap((bar) => (bar === null ? [] : [barWidth(barOf(map, bar)!.meter, map.prevailing)]));
  return Math.max(0, ...widths);
}

/** Columns that a line may hold when they do not all fit. Phrases of 4 and 8 bars: common practice, no source. */
const LINE_LENGTHS = [16, 12, 8, 4, 2, 1];
/** Narrowest bar that still shows its number and a chord, and the widest beat that looks like one. */
const MIN_BAR_PX = 58;
const MAX_BEAT_PX = 44;

/**
 * Breaks the columns into blocks that fit into `room` pixels, and says how wide a beat is drawn. All columns stand in one
 * block where they fit, else as many to a block as a phrase has.
 */
export function passBlocks(
  map: SongMap,
  table: PassTable,
  room: number,
): { readonly blocks: readonly PassBlock[]; readonly beatPx: number } {
  const widths = table.columns.map((_, column) => columnWidth(map, table, column));
  const barBeats = barWidth(map.prevailing, map.prevailing);
  const fits = (each: number): boolean => (widest(widths, each) / barBeats) * MIN_BAR_PX <= room;
  const lengths = [widths.length, ...LINE_LENGTHS.filter((each) => each < widths.length)];
  const perBlock = Math.max(1, lengths.find(fits) ?? 1);
  const beatPx = Math.min(MAX_BEAT_PX, room / Math.max(1, widest(widths, perBlock)));
  const blocks: PassBlock[] = [];
  for (let first = 0; first < widths.length; first += perBlock) {
    const own = widths.slice(first, first + perBlock);
    blocks.push({ first, last: first + own.length - 1, widths: own });
  }
  return { blocks, beatPx };
}

function widest(widths: readonly number[], each: number): number {
  let most = 0;
  for (let first = 0; first < widths.length; first += Math.max(1, each)) {
    most = Math.max(
      most,
      widths.slice(first, first + each).reduce((sum, width) => sum + width, 0),
    );
  }
  return most;
}

/** The chords' names, all of one size: the largest at which each fits before the next one. */
export function cellLabels(chords: readonly CellChord[], beatPx: number): readonly Label[] {
  const fit = ({ text, room }: CellChord, sizes: readonly number[]): Label => fitLabel(text, room * beatPx - 8, sizes);
  const size = Math.min(...chords.map((chord) => fit(chord, [17, 15, 13, 11]).size));
  return chords.map((chord) => fit(chord, [size]));
}

/** Where an arrow key, Home or End leads from a cell; blanks are passed over. Undefined for any other key. */
export function moveBy(
  cells: readonly (readonly PassCell[])[],
  from: { readonly pass: number; readonly column: number },
  key: string,
): { readonly pass: number; readonly column: number } | undefined {
  const row = cells[from.pass] ?? [];
  const free = (cell: PassCell | undefined): boolean => cell !== undefined && cell.kind !== 'blank';
  const at = (column: number): { pass: number; column: number } => ({ pass: from.pass, column });
  const along = (step: 1 | -1): number => {
    for (let column = from.column + step; column >= 0 && column < row.length; column += step)
      if (free(row[column])) return column;
    return from.column;
  };
  const across = (step: 1 | -1): number => {
    for (let pass = from.pass + step; pass >= 0 && pass < cells.length; pass += step)
      if (free(cells[pass]?.[from.column])) return pass;
    return from.pass;
  };
  switch (key) {
    case 'ArrowRight':
      return at(along(1));
    case 'ArrowLeft':
      return at(along(-1));
    case 'Home':
      return at(Math.max(0, row.findIndex(free)));
    case 'End':
      return at(row.map(free).lastIndexOf(true));
    case 'ArrowDown':
      return { pass: across(1), column: from.column };
    case 'ArrowUp':
      return { pass: across(-1), column: from.column };
    default:
      return undefined;
  }
}
