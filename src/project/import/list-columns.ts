import { msg, str } from '@lit/localize';
import type { Seconds } from '../../music/units.js';

/** A line of a list: its time and what stands behind that, column by column. */
export interface ListLine {
  readonly time: Seconds;
  /** The second column as a time, where it is one. */
  readonly second?: Seconds;
  readonly behind: readonly string[];
}

/** What the columns of a list mean. */
export interface ListColumns {
  /** The number of each line's beat in its bar; undefined where a line has none, and for all where no column has them. */
  readonly beats: readonly (number | undefined)[];
  /** Where the last line ends, when the second column says where each ends. */
  readonly end?: Seconds;
  /** What is not read, in a sentence. */
  readonly left?: string;
}

const BEAT = /^(\d{1,2})(?:\.0+)?$/;
/** As people count: bar 12, beat 3. */
const BAR_AND_BEAT = /^(\d{1,4})[.:](\d{1,2})$/;
/** Where a line ends and the next begins may be rounded differently. */
const ROUNDED: Seconds = 0.02;

/**
 * Tells what the columns behind the times mean: the beat's number in its bar ("1 2 3 4 1"), bar and beat ("12.3"), the end
 * of what begins there with a number or a label behind it (time, end, label), or a label alone.
 */
export function readColumns(lines: readonly ListLine[]): ListColumns {
  const hasEnds = lines.every(
    ({ time, second, behind }, i) =>
      second !== undefined &&
      second > time &&
      second <= (lines[i + 1]?.time ?? Infinity) + ROUNDED &&
      // Two columns of beats and their numbers may look the same.
      (behind.length > 1 || !BEAT.test(behind[0] ?? '')),
  );
  const isBarAndBeat = barAndBeat(lines.map(({ behind }) => behind[0] ?? ''));
  if (isBarAndBeat) return { beats: isBarAndBeat, ...leftOut(lines, 1) };
  const at = hasEnds || isBarThenBeat(lines) ? 1 : 0;
  const labels = lines.map(({ behind }) => behind[at] ?? '');
  const beats = barAndBeat(labels) ?? labels.map(beatNumber);
  const anyBeat = beats.some((beat) => beat !== undefined);
  return {
    beats,
    ...(hasEnds ? { end: lines.at(-1)?.second } : {}),
    ...leftOut(lines, anyBeat ? at + 1 : at),
  };
}

/** Columns of bars and of beats in them: "12.53 3 1". */
function isBarThenBeat(lines: readonly ListLine[]): boolean {
  return (
    lines.every(({ behind }) => BEAT.test(behind[1] ?? '') && /^\d{1,4}$/.test(behind[0] ?? '')) &&
    lines.every(({ behind }, i) => i === 0 || follows(numbers(lines[i - 1]!.behind), numbers(behind)))
  );
}

function numbers(behind: readonly string[]): readonly [bar: number, beat: number] {
  return [Number(behind[0]), Number(behind[1])];
}

/** The beats of "12.3", where all are written so and go on as bars and beats do; undefined otherwise. */
function barAndBeat(texts: readonly string[]): number[] | undefined {
  const found = texts.map((text) => BAR_AND_BEAT.exec(text));
  if (texts.length === 0 || !found.every((match) => match !== null)) return undefined;
  const places = found.map((match) => [Number(match[1]), Number(match[2])] as const);
  const goesOn = places.every((place, i) => i === 0 || follows(places[i - 1]!, place));
  return goesOn ? places.map(([, beat]) => beat) : undefined;
}

/** The next beat of the bar, or the first of the next bar. */
function follows([bar, beat]: readonly [number, number], next: readonly [number, number]): boolean {
  return next[0] === bar ? next[1] === beat + 1 : next[0] === bar + 1 && next[1] === 1;
}

function beatNumber(text: string): number | undefined {
  const number = BEAT.exec(text)?.[1];
  return number === undefined ? undefined : Number(number);
}

/** The sentence for what stands in a column or behind it; nothing where that is empty. */
function leftOut(lines: readonly ListLine[], from: number): { left?: string } {
  const label = lines.map(({ behind }) => behind.slice(from).join(' ')).find((text) => text !== '');
  return label === undefined
    ? {}
    : {
        left: msg(str`What stands behind the times ("${label.slice(0, 40)}") is no number of a beat and is left out.`),
      };
}
