import { msg, str } from '@lit/localize';

/**
 * A bar's measure: how many units it counts, which note value the unit is, and how many units one beat takes.
 *
 * 4/4 is {count 4, unit 4, beatUnits 1}; 6/8 felt in two is {6, 8, 3}; a 4/4 bar with half a beat cut off is
 * {7, 8, 2}: beats of a quarter, the last one an eighth. `grouping`, in units, sums to `count` (3+2, 2+2+3).
 */
export interface Meter {
  readonly count: number;
  readonly unit: NoteUnit;
  readonly beatUnits: number;
  readonly grouping?: readonly number[];
}

export type NoteUnit = 1 | 2 | 4 | 8 | 16;

export const COMMON_TIME: Meter = { count: 4, unit: 4, beatUnits: 1 };

/** Length of the bar in beats; 3.5 for a bar of 7/8 whose beat is a quarter. */
export function beatsOf(meter: Meter): number {
  return meter.count / meter.beatUnits;
}

/** Number of beats that start in the bar: 4 for a bar of 7/8 whose beat is a quarter. */
export function beatStartsOf(meter: Meter): number {
  return Math.ceil(meter.count / meter.beatUnits - 1e-9);
}

/** The same kind of beat, another number of them: N beats of `meter`'s beat. N may end in .5 when the beat can be halved. */
export function withBeats(meter: Meter, beats: number): Meter {
  const units = beats * meter.beatUnits;
  if (Number.isInteger(units)) {
    return { count: units, unit: meter.unit, beatUnits: meter.beatUnits };
  }
  const unit = (meter.unit * 2) as NoteUnit;
  if (unit > 16 || !Number.isInteger(units * 2)) {
    throw new RangeError(`withBeats: ${beats} beats of 1/${meter.unit} cannot be written; use whole or half beats`);
  }
  return { count: units * 2, unit, beatUnits: meter.beatUnits * 2 };
}

/** True when two bars have the same length and the same beat; grouping is not compared. */
export function sameMeter(a: Meter, b: Meter): boolean {
  return a.count * b.unit === b.count * a.unit && a.beatUnits * b.unit === b.beatUnits * a.unit;
}

/** As printed: "4/4", "6/8", "7/8 (2+2+3)". */
export function meterText(meter: Meter): string {
  const group = meter.grouping && meter.grouping.length > 1 ? ` (${meter.grouping.join('+')})` : '';
  return `${meter.count}/${meter.unit}${group}`;
}

/**
 * Reads "4/4", "6/8", "7/8 (2+2+3)". The beat is a quarter for /4, a half for /2; for /8 and /16 a dotted beat when
 * the count is 6, 9 or 12, otherwise one unit (common practice, no source).
 */
export function parseMeter(text: string): Meter {
  const match = /^\s*(\d{1,2})\s*\/\s*(1|2|4|8|16)\s*(?:\(\s*([\d+\s]+)\)\s*)?$/.exec(text);
  const count = match ? Number(match[1]) : 0;
  if (!match || count < 1 || count > 32) {
    throw new RangeError(msg(str`time signature: found "${text}"; write it like 4/4, 6/8 or 7/8 (2+2+3)`));
  }
  const unit = Number(match[2]) as NoteUnit;
  const compound = unit >= 8 && (count === 6 || count === 9 || count === 12);
  const meter: Meter = { count, unit, beatUnits: compound ? 3 : 1 };
  if (!match[3]) return meter;
  const grouping = match[3].split('+').map((part) => Number(part.trim()));
  if (grouping.some((n) => !(n >= 1)) || grouping.reduce((a, b) => a + b, 0) !== count) {
    throw new RangeError(msg(str`time signature: the groups in "${text}" must add up to ${count}`));
  }
  return { ...meter, grouping };
}
