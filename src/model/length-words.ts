import { msg, str } from '@lit/localize';
import { beatsOf, meterText, sameMeter, type Meter } from '../music/meter.js';
import { numberText } from '../music/number-text.js';

/** Bars of another length than the usual one that are named one by one; more are summed up. */
const MOST_NAMED = 2;

/**
 * How many bars, and which are of another length: "8", "4 + a bar of 2", "a bar of 2 + 8", "8 (bar 5 has 2 beats)",
 * "9 of changing length (31 beats)". A bar of another length at either end counts for itself where the others make an
 * even number. Within brackets commas stand for brackets: "8, bar 5 has 2 beats,".
 */
export function lengthWords(
  meters: readonly Meter[],
  usual: Meter,
  within: 'brackets' | 'nothing' = 'nothing',
): string {
  const odd = oddBars(meters, usual);
  const count = meters.length;
  const [first] = odd;
  if (first === undefined) return `${count}`;
  if (odd.length === 1 && count % 2 === 1 && count > 1) {
    if (first === count - 1) return `${count - 1} + ${aBar(meters[first] as Meter, usual)}`;
    if (first === 0) return `${aBar(meters[first] as Meter, usual)} + ${count - 1}`;
  }
  if (count === 1) return aBar(meters[0] as Meter, usual);
  if (odd.length > MOST_NAMED) {
    const beats = beatsWords(sum(meters));
    return within === 'brackets'
      ? msg(str`${count} of changing length, ${beats},`)
      : msg(str`${count} of changing length (${beats})`);
  }
  const which = barsWords(meters, odd, usual);
  return within === 'brackets' ? `${count}, ${which},` : `${count} (${which})`;
}

/** The bars that differ: "bar 5 has 2 beats", "bars 3 and 7 have 2 beats", "bar 3 has 2 beats, bar 7 has 6". */
function barsWords(meters: readonly Meter[], odd: readonly number[], usual: Meter): string {
  const [a, b] = odd;
  if (a === undefined) return '';
  const [first, second] = [meters[a] as Meter, b === undefined ? undefined : (meters[b] as Meter)];
  const name = (place: number): string =>
    place === meters.length - 1 ? msg('the last bar') : msg(str`bar ${place + 1}`);
  const [one, its] = [name(a), measure(first, usual)];
  if (second === undefined || b === undefined) return msg(str`${one} has ${its}`);
  if (sameMeter(first, second)) return msg(str`bars ${a + 1} and ${b + 1} have ${its}`);
  const [other, theirs] = [name(b), measure(second, usual)];
  return msg(str`${one} has ${its}, ${other} ${theirs}`);
}

/** A pass of a section, as far as its length goes. */
interface Measured {
  readonly meters: readonly Meter[];
  readonly usual: Meter;
  readonly length: string;
  /** The same as it stands within brackets. */
  readonly lengthWithin: string;
}

/** Nothing but a number of bars: "8", "7½". */
const COUNT = /^\d+½?$/;

/**
 * What the passes that differ from the usual one have: "7½ the first time", "bar 6 has 3 beats the third time", "10 the
 * second and the last time". Half bars are said only where the usual pass has none. Empty when all are alike.
 */
export function exceptionWords(usual: Measured, passes: readonly Measured[]): string {
  const told = new Map<string, number[]>();
  passes.forEach((pass, i) => {
    if (pass.length === usual.length) return;
    const words = differenceWords(usual, pass);
    told.set(words, [...(told.get(words) ?? []), i]);
  });
  // Beside what bars have, a bare number would be taken for beats.
  const bars = (words: string): string => (told.size > 1 && COUNT.test(words) ? msg(str`${words} bars`) : words);
  return [...told].map(([words, which]) => `${bars(words)} ${whichTimes(which, passes.length)}`).join(', ');
}

function differenceWords(usual: Measured, pass: Measured): string {
  const { meters } = pass;
  const alike = sameMeter(usual.usual, pass.usual);
  if (!alike || meters.length !== usual.meters.length) return pass.lengthWithin;
  const halves = (2 * sum(meters)) / beatsOf(usual.usual);
  const odd = oddBars(meters, usual.usual);
  const oneCut = odd.length === 1 && oddBars(usual.meters, usual.usual).length === 0;
  if (oneCut && halves % 2 === 1 && halves < 2 * meters.length) return halfWords(halves / 2);
  const other = meters.flatMap((meter, i) => (sameMeter(meter, usual.meters[i] as Meter) ? [] : [i]));
  if (other.length === 0 || other.length > MOST_NAMED) return pass.lengthWithin;
  return barsWords(meters, other, usual.usual);
}

/** "twice", "three times"; nothing for once. */
export function timesWords(count: number): string {
  const words = ['', '', msg('twice'), msg('three times'), msg('four times'), msg('five times'), msg('six times')];
  return words[count] ?? msg(str`${count} times`);
}

/** "the first time", "the second and the last time". */
function whichTimes(which: readonly number[], of: number): string {
  const names = which.map((i) => (i === of - 1 && of > 2 ? msg('the last') : ordinal(i + 1)));
  const last = names.pop() ?? '';
  const others = names.join(', ');
  return others === '' ? msg(str`${last} time`) : msg(str`${others} and ${last} time`);
}

/** "the first", "the 11th", "the 22nd". */
function ordinal(n: number): string {
  const words = [
    '',
    msg('the first'),
    msg('the second'),
    msg('the third'),
    msg('the fourth'),
    msg('the fifth'),
    msg('the sixth'),
    msg('the seventh'),
    msg('the eighth'),
    msg('the ninth'),
    msg('the tenth'),
  ];
  const teen = n % 100 > 10 && n % 100 < 14;
  const endings = teen ? [] : ['', msg(str`the ${n}st`), msg(str`the ${n}nd`), msg(str`the ${n}rd`)];
  return words[n] ?? (endings[n % 10] || msg(str`the ${n}th`));
}

/** "2 beats", "1 beat", "3½ beats": `one` and `many` are the words of what is counted. */
export function numberWords(value: number, one: string, many: string): string {
  return `${halfWords(value)} ${value <= 1 ? one : many}`;
}

/** "2 beats", "3½ beats". */
export function beatsWords(beats: number): string {
  return numberWords(beats, msg('beat'), msg('beats'));
}

/** "2", "3½", "½". */
export function halfWords(value: number): string {
  const whole = Math.floor(value);
  const rest = value - whole;
  if (rest === 0) return `${whole}`;
  return rest === 0.5 ? `${whole || ''}½` : numberText(value, 2);
}

/** "a bar of 2"; of another kind of beat "a bar of 7/8". */
function aBar(meter: Meter, usual: Meter): string {
  const length = sameBeat(meter, usual) ? halfWords(beatsOf(meter)) : meterText(meter);
  return msg(str`a bar of ${length}`);
}

/** "2 beats"; of another kind of beat "7/8". */
function measure(meter: Meter, usual: Meter): string {
  return sameBeat(meter, usual) ? beatsWords(beatsOf(meter)) : meterText(meter);
}

function sameBeat(a: Meter, b: Meter): boolean {
  return a.beatUnits * b.unit === b.beatUnits * a.unit;
}

function oddBars(meters: readonly Meter[], usual: Meter): number[] {
  return meters.flatMap((meter, i) => (sameMeter(meter, usual) ? [] : [i]));
}

function sum(meters: readonly Meter[]): number {
  return meters.reduce((total, meter) => total + beatsOf(meter), 0);
}
