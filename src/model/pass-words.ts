import { beatsOf, beatStartsOf, meterText, type Meter } from '../music/meter.js';
import { barOf } from './map-queries.js';
import { sameChord, soundingInBar, soundingOn } from './pass-chords.js';
import {
  barInPass,
  openDifferences,
  type AddedBars,
  type ChordDifference,
  type ChordOnBeat,
  type DroppedBars,
  type LengthDifference,
  type PassDifference,
  type PassTable,
} from './pass-table.js';
import { shownName } from './shown-chords.js';
import type { SongMap } from './song-map.js';

/** A sentence a teacher would write, and the differences it speaks of: the same one in several passes is said once. */
export interface PassSentence {
  readonly text: string;
  readonly differences: readonly PassDifference[];
}

/**
 * All that is to be said of a table, what the user ignores left out, in order of the first pass spoken of. `map` and `table`
 * hold the chords that sound; those shown are said.
 */
export function passSentences(map: SongMap, table: PassTable): readonly PassSentence[] {
  const said = new Map<string, PassDifference[]>();
  for (const difference of openDifferences(map, table)) {
    const words = predicate(map, table, difference);
    const known = said.get(words);
    if (known) known.push(difference);
    else said.set(words, [difference]);
  }
  return [...said].map(([words, differences]) => ({ text: sentenceOf(words, differences), differences }));
}

/** One difference as a sentence, as in passSentences: "Pass 3: bar 6 has 3 beats instead of 4." */
export function differenceSentence(map: SongMap, table: PassTable, difference: PassDifference): string {
  return sentenceOf(predicate(map, table, difference), [difference]);
}

/** How many passes there are and whether they differ: "3 passes, all the same", "2 passes, 1 difference, 2 ignored". */
export function tableText(map: SongMap, table: PassTable): string {
  const open = openDifferences(map, table).length;
  const ignored = table.differences.length - open;
  const passes = `${table.passes.length} passes`;
  const silent = ignored > 0 ? `, ${ignored} ignored` : '';
  if (open === 0) return ignored > 0 ? `${passes}, nothing else differs${silent}` : `${passes}, all the same`;
  return `${passes}, ${open} ${open === 1 ? 'difference' : 'differences'}${silent}`;
}

/** What is said of a pass or of several: words for "Pass 2 …", after a colon where they begin with a bar. */
function predicate(map: SongMap, table: PassTable, difference: PassDifference): string {
  switch (difference.kind) {
    case 'length':
      return lengthWords(table, difference);
    case 'chord':
      return chordWords(map, table, difference);
    case 'added':
      return addedWords(map, table, difference);
    case 'dropped':
      return droppedWords(map, table, difference);
    case 'key':
      return `is ${intervalName(Math.abs(difference.shift))} ${difference.shift > 0 ? 'higher' : 'lower'}`;
  }
}

function sentenceOf(words: string, differences: readonly PassDifference[]): string {
  const passes = differences.map(({ pass }) => pass + 1);
  const many = passes.length > 1;
  const last = passes[passes.length - 1] ?? 0;
  const subject = many ? `Passes ${passes.slice(0, -1).join(', ')} and ${last}` : `Pass ${last}`;
  if (words.startsWith('bar ')) return `${subject}: ${words}.`;
  return `${subject} ${many ? words.replace(/^\w+/, (verb) => PLURAL[verb] ?? verb) : words}.`;
}

const PLURAL: Readonly<Record<string, string>> = {
  is: 'are',
  has: 'have',
  ends: 'end',
  begins: 'begin',
  leaves: 'leave',
};

function lengthWords(table: PassTable, { pass, bar, meter, usual }: LengthDifference): string {
  const name = `bar ${numberOf(table, pass, bar)}`;
  const sameBeat = meter.beatUnits * usual.unit === usual.beatUnits * meter.unit;
  if (!sameBeat) return `${name} is in ${meterText(meter)} instead of ${meterText(usual)}`;
  const beats = beatsOf(meter);
  return `${name} has ${countText(meter)} ${beats > 1 || beats === 0 ? 'beats' : 'beat'} instead of ${countText(usual)}`;
}

function chordWords(map: SongMap, table: PassTable, { pass, bar, has, usual }: ChordDifference): string {
  const name = `bar ${numberOf(table, pass, bar)}`;
  const meter = barOf(map, bar)?.meter;
  const beats = meter ? beatStartsOf(meter) : 4;
  const places = [...new Set([0, ...[...has, ...usual].map(({ beat }) => beat)])]
    .filter((beat) => beat < beats)
    .sort((a, b) => a - b);
  const differing = places.filter((beat) => !alike(soundingOn(has, beat), soundingOn(usual, beat)));
  const first = differing[0];
  if (first === undefined) {
    return has.length > 0 ? `${name} sounds different, though the same chords are written` : `${name} sounds different`;
  }
  const last = places[places.indexOf(differing[differing.length - 1] ?? first) + 1] ?? beats;
  const own = namesIn(map, has, first, last);
  const wanted = namesIn(map, usual, first, last);
  const from = first === 0 ? '' : ` on ${beatName(first)}`;
  if (own === '') return `${name} has no chord instead of ${wanted}${from}`;
  return wanted === '' ? `${name} has ${own}${from}` : `${name} has ${own} instead of ${wanted}${from}`;
}

function alike(a: string | undefined, b: string | undefined): boolean {
  return a === undefined || b === undefined ? a === b : sameChord(a, b);
}

/** The chords that sound from one beat to before another, as the map shows them: "Am", "G A". */
function namesIn(map: SongMap, chords: readonly ChordOnBeat[], from: number, to: number): string {
  const start = soundingOn(chords, from);
  const later = chords.filter(({ beat }) => beat > from + 1e-6 && beat < to - 1e-6).map(({ harte }) => harte);
  return [...(start === undefined ? [] : [start]), ...later].map((harte) => shownName(map, harte)).join(' ');
}

/** "beat 3"; between beats "the second half of beat 2" or "beat 2¼". */
function beatName(beat: number): string {
  const whole = Math.floor(beat + 1e-6);
  const rest = beat - whole;
  if (rest < 1e-3) return `beat ${whole + 1}`;
  return Math.abs(rest - 0.5) < 1e-3 ? `the second half of beat ${whole + 1}` : `beat ${Number((beat + 1).toFixed(2))}`;
}

function addedWords(map: SongMap, table: PassTable, { pass, first, last }: AddedBars): string {
  const own = table.passes[pass];
  const count = last - first + 1;
  const bars = barsText(count);
  if (own && last === own.last && first > own.first) return `ends ${bars} later${onChord(map, last)}`;
  if (own && first === own.first && last < own.last) return `begins ${bars} earlier`;
  const place = own && first > own.first ? ` after bar ${barInPass(own, first) - 1}` : '';
  return `has ${bars} more${place}${onChord(map, last)}`;
}

function droppedWords(map: SongMap, table: PassTable, { pass, column, lastColumn }: DroppedBars): string {
  const own = table.passes[pass];
  const model = table.passes.findIndex((_, i) => table.columns[column]?.bars[i] !== null && i !== pass);
  const other = table.passes[model];
  const usual = table.columns.slice(column, lastColumn + 1).filter((each) => each.usual);
  const count = usual.length;
  const ownBars = table.columns.map(({ bars }) => bars[pass] ?? null);
  if (own && ownBars.slice(lastColumn + 1).every((bar) => bar === null)) {
    return `ends ${barsText(count)} earlier${onChord(map, own.last)}`;
  }
  if (ownBars.slice(0, column).every((bar) => bar === null)) {
    return count === 1 ? 'leaves out the first bar' : `leaves out the first ${numberWord(count)} bars`;
  }
  const from = other && firstBar(table, model, column);
  if (!other || from === undefined) return `has ${barsText(count)} less`;
  const number = barInPass(other, from);
  const bars = count === 1 ? `bar ${number}` : `bars ${number} to ${number + count - 1}`;
  return `leaves out ${bars} of pass ${model + 1}`;
}

function firstBar(table: PassTable, pass: number, column: number): number | undefined {
  return table.columns[column]?.bars[pass] ?? undefined;
}

/** ", on D": the last chord of a bar. */
function onChord(map: SongMap, bar: number): string {
  const last = soundingInBar(map, bar).at(-1);
  return last && last.harte !== 'N' ? `, on ${shownName(map, last.harte)}` : '';
}

function numberOf(table: PassTable, pass: number, bar: number): number {
  const own = table.passes[pass];
  return own ? barInPass(own, bar) : bar + 1;
}

function barsText(count: number): string {
  return `${numberWord(count)} ${count === 1 ? 'bar' : 'bars'}`;
}

const NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

function numberWord(count: number): string {
  return NUMBERS[count] ?? String(count);
}

/** "3", "3½". */
function countText(meter: Meter): string {
  const beats = beatsOf(meter);
  const whole = Math.floor(beats + 1e-9);
  if (Math.abs(beats - whole) < 1e-9) return String(whole);
  if (Math.abs(beats - whole - 0.5) < 1e-9) return `${whole > 0 ? whole : ''}½`;
  return String(Number(beats.toFixed(2)));
}

/** Names of the intervals up to six semitones; common practice, no source. */
const INTERVALS = [
  'no higher',
  'a semitone',
  'a tone',
  'a minor third',
  'a major third',
  'a fourth',
  'a tritone',
] as const;

function intervalName(semitones: number): string {
  return INTERVALS[semitones] ?? `${semitones} semitones`;
}
