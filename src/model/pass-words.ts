import { msg, str } from '@lit/localize';
import { beatsOf, beatStartsOf, meterText, type Meter } from '../music/meter.js';
import { numberText } from '../music/number-text.js';
import { barOf } from './map-queries.js';
import { sameChord, soundingInBar, soundingOn } from './pass-chords.js';
import {
  barInPass,
  openDifferences,
  type AddedBars,
  type ChordDifference,
  type ChordOnBeat,
  type DroppedBars,
  type KeyDifference,
  type LengthDifference,
  type PassDifference,
  type PassTable,
} from './pass-table.js';
import { shownName } from './shown-chords.js';
import type { SongMap } from './song-map.js';

/** What a teacher would say, as it stands within a sentence ("pass 3: bar 6 has 3 beats instead of 4"), and the differences it speaks of: the same one in several passes is said once. */
export interface PassSentence {
  readonly words: string;
  readonly differences: readonly PassDifference[];
}

/**
 * All that is to be said of a table, what the user ignores left out, in order of the first pass spoken of. `map` and `table`
 * hold the chords that sound; those shown are said.
 */
export function passSentences(map: SongMap, table: PassTable): readonly PassSentence[] {
  const said = new Map<string, { readonly words: Predicate; readonly differences: PassDifference[] }>();
  for (const difference of openDifferences(map, table)) {
    const words = predicate(map, table, difference);
    const known = said.get(words.one);
    if (known) known.differences.push(difference);
    else said.set(words.one, { words, differences: [difference] });
  }
  return [...said.values()].map(({ words, differences }) => ({ words: wordsOf(words, differences), differences }));
}

/** One difference as in passSentences: "pass 3: bar 6 has 3 beats instead of 4". */
export function differenceWords(map: SongMap, table: PassTable, difference: PassDifference): string {
  return wordsOf(predicate(map, table, difference), [difference]);
}

/** The same where it is clear which pass is meant: "bar 6 has 3 beats instead of 4". */
export function predicateOf(map: SongMap, table: PassTable, difference: PassDifference): string {
  return predicate(map, table, difference).one;
}

/** How many passes there are and whether they differ: "3 passes, all the same", "2 passes, 1 difference, 2 ignored". */
export function tableText(map: SongMap, table: PassTable): string {
  const open = openDifferences(map, table).length;
  const ignored = table.differences.length - open;
  const differing =
    open > 1
      ? msg(str`${open} differences`)
      : open === 1
        ? msg('1 difference')
        : ignored > 0
          ? msg('nothing else differs')
          : msg('all the same');
  const passes = msg(str`${table.passes.length} passes`);
  return [passes, differing, ...(ignored > 0 ? [msg(str`${ignored} ignored`)] : [])].join(', ');
}

/** What is said of one pass, after "Pass 2", and of several; of a bar in a pass, after a colon, the same of all. */
interface Predicate {
  readonly one: string;
  readonly many?: string;
}

function predicate(map: SongMap, table: PassTable, difference: PassDifference): Predicate {
  switch (difference.kind) {
    case 'length':
      return { one: lengthWords(table, difference) };
    case 'chord':
      return { one: chordWords(map, table, difference) };
    case 'added':
      return addedWords(map, table, difference);
    case 'dropped':
      return droppedWords(map, table, difference);
    case 'key': {
      const key = keyWords(difference);
      return { one: msg(str`is ${key}`), many: msg(str`are ${key}`) };
    }
  }
}

function wordsOf({ one, many }: Predicate, differences: readonly PassDifference[]): string {
  const passes = differences.map(({ pass }) => pass + 1);
  const last = passes.pop() ?? 0;
  const others = passes.join(', ');
  if (others === '') return many === undefined ? msg(str`pass ${last}: ${one}`) : msg(str`pass ${last} ${one}`);
  return many === undefined
    ? msg(str`passes ${others} and ${last}: ${one}`)
    : msg(str`passes ${others} and ${last} ${many}`);
}

function lengthWords(table: PassTable, { pass, bar, meter, usual }: LengthDifference): string {
  const number = numberOf(table, pass, bar);
  const sameBeat = meter.beatUnits * usual.unit === usual.beatUnits * meter.unit;
  const [has, wanted] = sameBeat ? [countText(meter), countText(usual)] : [meterText(meter), meterText(usual)];
  if (!sameBeat) return msg(str`bar ${number} is in ${has} instead of ${wanted}`);
  const beats = beatsOf(meter);
  return beats > 1 || beats === 0
    ? msg(str`bar ${number} has ${has} beats instead of ${wanted}`)
    : msg(str`bar ${number} has ${has} beat instead of ${wanted}`);
}

function chordWords(map: SongMap, table: PassTable, { pass, bar, has, usual }: ChordDifference): string {
  const number = numberOf(table, pass, bar);
  const meter = barOf(map, bar)?.meter;
  const beats = meter ? beatStartsOf(meter) : 4;
  const places = [...new Set([0, ...[...has, ...usual].map(({ beat }) => beat)])]
    .filter((beat) => beat < beats)
    .sort((a, b) => a - b);
  const differing = places.filter((beat) => !alike(soundingOn(has, beat), soundingOn(usual, beat)));
  const first = differing[0];
  if (first === undefined) {
    return has.length > 0
      ? msg(str`bar ${number} sounds different, though the same chords are written`)
      : msg(str`bar ${number} sounds different`);
  }
  const last = places[places.indexOf(differing[differing.length - 1] ?? first) + 1] ?? beats;
  const own = namesIn(map, has, first, last);
  const wanted = namesIn(map, usual, first, last);
  const from = first === 0 ? '' : ` ${onBeat(first)}`;
  if (own === '') return msg(str`bar ${number} has no chord instead of ${wanted}${from}`);
  return wanted === ''
    ? msg(str`bar ${number} has ${own}${from}`)
    : msg(str`bar ${number} has ${own} instead of ${wanted}${from}`);
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

/** "on beat 3"; between beats "on the second half of beat 2" or "on beat 2.25". */
function onBeat(beat: number): string {
  const whole = Math.floor(beat + 1e-6);
  const rest = beat - whole;
  if (Math.abs(rest - 0.5) < 1e-3) return msg(str`on the second half of beat ${whole + 1}`);
  const number = rest < 1e-3 ? `${whole + 1}` : numberText(beat + 1, 2);
  return msg(str`on beat ${number}`);
}

function addedWords(map: SongMap, table: PassTable, { pass, first, last }: AddedBars): Predicate {
  const own = table.passes[pass];
  const bars = barsText(last - first + 1);
  const chord = onChord(map, last);
  if (own && last === own.last && first > own.first) {
    return { one: msg(str`ends ${bars} later${chord}`), many: msg(str`end ${bars} later${chord}`) };
  }
  if (own && first === own.first && last < own.last) {
    return { one: msg(str`begins ${bars} earlier`), many: msg(str`begin ${bars} earlier`) };
  }
  if (!own || first <= own.first) {
    return { one: msg(str`has ${bars} more${chord}`), many: msg(str`have ${bars} more${chord}`) };
  }
  const before = barInPass(own, first) - 1;
  return {
    one: msg(str`has ${bars} more after bar ${before}${chord}`),
    many: msg(str`have ${bars} more after bar ${before}${chord}`),
  };
}

function droppedWords(map: SongMap, table: PassTable, { pass, column, lastColumn }: DroppedBars): Predicate {
  const own = table.passes[pass];
  const model = table.passes.findIndex((_, i) => table.columns[column]?.bars[i] !== null && i !== pass);
  const other = table.passes[model];
  const usual = table.columns.slice(column, lastColumn + 1).filter((each) => each.usual);
  const count = usual.length;
  const ownBars = table.columns.map(({ bars }) => bars[pass] ?? null);
  const bars = barsText(count);
  if (own && ownBars.slice(lastColumn + 1).every((bar) => bar === null)) {
    const chord = onChord(map, own.last);
    return { one: msg(str`ends ${bars} earlier${chord}`), many: msg(str`end ${bars} earlier${chord}`) };
  }
  if (ownBars.slice(0, column).every((bar) => bar === null)) {
    if (count === 1) return { one: msg('leaves out the first bar'), many: msg('leave out the first bar') };
    return { one: msg(str`leaves out the first ${bars}`), many: msg(str`leave out the first ${bars}`) };
  }
  const from = other && firstBar(table, model, column);
  if (!other || from === undefined) return { one: msg(str`has ${bars} less`), many: msg(str`have ${bars} less`) };
  const [number, of] = [barInPass(other, from), model + 1];
  if (count === 1) {
    return {
      one: msg(str`leaves out bar ${number} of pass ${of}`),
      many: msg(str`leave out bar ${number} of pass ${of}`),
    };
  }
  const last = number + count - 1;
  return {
    one: msg(str`leaves out bars ${number} to ${last} of pass ${of}`),
    many: msg(str`leave out bars ${number} to ${last} of pass ${of}`),
  };
}

function firstBar(table: PassTable, pass: number, column: number): number | undefined {
  return table.columns[column]?.bars[pass] ?? undefined;
}

/** ", on D": the last chord of a bar. */
function onChord(map: SongMap, bar: number): string {
  const last = soundingInBar(map, bar).at(-1);
  if (!last || last.harte === 'N') return '';
  const name = shownName(map, last.harte);
  return msg(str`, on ${name}`);
}

function numberOf(table: PassTable, pass: number, bar: number): number {
  const own = table.passes[pass];
  return own ? barInPass(own, bar) : bar + 1;
}

/** "one bar", "seven bars", "13 bars". */
function barsText(count: number): string {
  if (count === 1) return msg('one bar');
  const number = numberWord(count);
  return msg(str`${number} bars`);
}

function numberWord(count: number): string {
  const words = [
    msg('no'),
    msg('one'),
    msg('two'),
    msg('three'),
    msg('four'),
    msg('five'),
    msg('six'),
    msg('seven'),
    msg('eight'),
    msg('nine'),
    msg('ten'),
    msg('eleven'),
    msg('twelve'),
  ];
  return words[count] ?? String(count);
}

/** "3", "3½". */
function countText(meter: Meter): string {
  const beats = beatsOf(meter);
  const whole = Math.floor(beats + 1e-9);
  if (Math.abs(beats - whole) < 1e-9) return String(whole);
  if (Math.abs(beats - whole - 0.5) < 1e-9) return `${whole > 0 ? whole : ''}½`;
  return numberText(beats, 2);
}

/** "a tone higher": the key of a pass beside the others'. */
export function keyWords({ shift }: KeyDifference): string {
  const interval = intervalName(Math.abs(shift));
  return shift > 0 ? msg(str`${interval} higher`) : msg(str`${interval} lower`);
}

/** Names of the intervals up to six semitones; common practice, no source. */
function intervalName(semitones: number): string {
  const names = [
    msg('no higher'),
    msg('a semitone'),
    msg('a tone'),
    msg('a minor third'),
    msg('a major third'),
    msg('a fourth'),
    msg('a tritone'),
  ];
  return names[semitones] ?? msg(str`${semitones} semitones`);
}
