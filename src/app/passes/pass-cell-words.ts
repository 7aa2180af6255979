import { msg, str } from '@lit/localize';
import { barNumber, barOf } from '../../model/map-queries.js';
import { sameChords, soundingInBar } from '../../model/pass-chords.js';
import { isIgnored, type PassDifference, type PassTable } from '../../model/pass-table.js';
import { predicateOf } from '../../model/pass-words.js';
import { shownMap } from '../../model/shown-chords.js';
import type { SongMap } from '../../model/song-map.js';
import { beatsOf, meterText, sameMeter } from '../../music/meter.js';
import { lengthText } from '../map/map-view/bar-scale.js';
import { chordText } from '../map/map-view/boxes.js';
import type { PassCell } from './pass-grid.js';

/** A cell in words: "pass 2, bar 6, 3 beats, C, differs: bar 6 has 3 beats instead of 4". */
export function cellWords(map: SongMap, table: PassTable, cell: PassCell): string {
  const { pass, column, bar } = cell;
  const differs = cell.open.map((each) => msg(str`differs: ${predicateOf(map, table, each)}`));
  const ignored = cell.ignored.map((each) => msg(str`ignored: ${predicateOf(map, table, each)}`));
  if (bar === undefined) {
    const nothing = cell.kind === 'gap' ? msg(str`no bar in place ${column + 1}`) : msg('nothing here');
    return [msg(str`pass ${pass + 1}`), nothing, ...differs, ...ignored].join(', ');
  }
  const chords = cell.chords.map(({ text }) => spoken(text)).join(', ');
  return [
    msg(str`pass ${pass + 1}`),
    msg(str`bar ${cell.number}`),
    barLengthText(map, bar),
    chords,
    msg(str`bar ${barNumber(map, bar)} of the song`),
    ...differs,
    ...ignored,
  ]
    .filter((part) => part !== '')
    .join(', ');
}

/** "3 beats"; where the beat itself is another its time signature: "6/8". */
export function barLengthText(map: SongMap, bar: number): string {
  const meter = barOf(map, bar)?.meter;
  if (!meter) return '';
  const sameBeat = meter.beatUnits * map.prevailing.unit === map.prevailing.beatUnits * meter.unit;
  return sameBeat ? lengthText(beatsOf(meter)) : meterText(meter);
}

function spoken(chord: string): string {
  return chord
    .replace(/♯/g, ` ${msg('sharp')} `)
    .replace(/♭/g, ` ${msg('flat')} `)
    .trim();
}

/** What a bar of some passes could be: those of the same reading together. */
export interface Reading {
  /** "G C", "3 beats". */
  readonly text: string;
  /** Passes that have it, ascending. */
  readonly passes: readonly number[];
}

/** What can be made the same of a difference; undefined for added or missing bars and keys, which are no copying. */
export function copiedBy({ kind }: PassDifference): 'chords' | 'lengths' | undefined {
  return kind === 'chord' ? 'chords' : kind === 'length' ? 'lengths' : undefined;
}

/** The readings of a column, in order of their first passes: which of them is right is for the user to say. */
export function readingsOf(
  map: SongMap,
  table: PassTable,
  column: number,
  what: 'chords' | 'lengths',
): readonly Reading[] {
  const found: { bar: number; shift: number; text: string; passes: number[] }[] = [];
  table.columns[column]?.bars.forEach((bar, pass) => {
    if (bar === null) return;
    const { shift = 0 } = table.passes[pass] ?? {};
    const known = found.find((each) => each.shift === shift && alike(map, each.bar, bar, what));
    if (known) known.passes.push(pass);
    else found.push({ bar, shift, text: readingText(map, bar, what), passes: [pass] });
  });
  return found.map(({ text, passes }) => ({ text, passes }));
}

function alike(map: SongMap, a: number, b: number, what: 'chords' | 'lengths'): boolean {
  const [one, other] = [barOf(map, a), barOf(map, b)];
  if (!one || !other) return false;
  if (what === 'lengths') return sameMeter(one.meter, other.meter);
  const beats = Math.max(beatsOf(one.meter), beatsOf(other.meter));
  return sameChords(soundingInBar(map, a), soundingInBar(map, b), beats);
}

function readingText(map: SongMap, bar: number, what: 'chords' | 'lengths'): string {
  if (what === 'lengths') return barLengthText(map, bar);
  return (
    soundingInBar(shownMap(map), bar)
      .map(({ harte }) => chordText(harte))
      .join(' ') || msg('no chord')
  );
}

/** "pass 1", "passes 1 and 3". */
export function passesText(passes: readonly number[]): string {
  const numbers = passes.map((pass) => pass + 1);
  const last = numbers.at(-1) ?? 0;
  const others = numbers.slice(0, -1).join(', ');
  return numbers.length > 1 ? msg(str`passes ${others} and ${last}`) : msg(str`pass ${last}`);
}

/** A letter of the song with how often it comes. */
export interface LetterChoice {
  readonly letter: string;
  readonly name: string;
  readonly passes: number;
  /** Differences still to be said; of a section that comes once none. */
  readonly open: number;
  /** Where its first pass begins. */
  readonly start: number;
}

/** The letters of a song in the order they come. */
export function letterChoices(map: SongMap, tables: readonly PassTable[]): readonly LetterChoice[] {
  const letters = [...new Set(map.sections.map(({ letter }) => letter))];
  return letters.flatMap((letter): LetterChoice[] => {
    const own = map.sections.filter((section) => section.letter === letter);
    const [first] = own;
    if (!first) return [];
    const table = tables.find((each) => each.letter === letter);
    const open = table ? table.differences.filter((each) => !isIgnored(map, each)).length : 0;
    return [{ letter, name: first.name, passes: table?.passes.length ?? own.length, open, start: first.start }];
  });
}

/** What to say where there is nothing to compare; undefined where there is. */
export function emptyText(map: SongMap, tables: readonly PassTable[], letter: string | undefined): string | undefined {
  if (!map.spans.some(({ kind }) => kind === 'bar')) {
    return msg(
      'There are no bars yet, only free time. Tap along on the map where there is a beat; passes are compared bar by bar.',
    );
  }
  if (map.sections.length === 0) {
    return msg(
      'No sections are marked yet. Select the bars of one on the map and name it; give another the same name, and the two can be compared here.',
    );
  }
  if (tables.some((table) => table.letter === letter)) return undefined;
  const name = map.sections.find((section) => section.letter === letter)?.name ?? msg('This section');
  const called = name === letter ? msg(str`Section ${letter}`) : name;
  return tables.length === 0
    ? msg(
        'Every section comes only once, so there is nothing to compare. Sections that you give the same name on the map are compared here.',
      )
    : msg(str`${called} comes only once: there is no other pass to compare it with.`);
}
