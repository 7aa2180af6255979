import { msg, str } from '@lit/localize';
import { numberText } from '../../../music/number-text.js';
import type { Meter } from '../../../music/meter.js';

/**
 * Widths of the map are counted in beats of the prevailing time signature, by note value: a bar of 7/8 among bars of
 * 4/4 is 3.5 beats wide whether its beat is a quarter or an eighth. Equal note values last equally long where the
 * time signature changes: common practice, no source.
 */

/** Width of a bar of `meter`, in beats of `prevailing`. */
export function barWidth(meter: Meter, prevailing: Meter): number {
  return meter.count * unitWidth(meter, prevailing);
}

/** A place in a bar where a line of its ruler stands. */
export interface Division {
  /** Distance from the start of the bar, in beats of the prevailing time signature; above 0. */
  readonly x: number;
  /** 'group' where a group of the bar's grouping begins. */
  readonly kind: 'beat' | 'group';
}

/** Where each beat of the bar begins, in beats of `prevailing` from the start of the bar; the first is 0. */
export function beatXs(meter: Meter, prevailing: Meter): number[] {
  const step = meter.beatUnits * unitWidth(meter, prevailing);
  const count = Math.ceil(meter.count / meter.beatUnits - 1e-9);
  return Array.from({ length: count }, (_, k) => k * step);
}

/** Lines inside the bar: its beats and, where a grouping is set, the starts of its groups, ascending. */
export function divisionsOf(meter: Meter, prevailing: Meter): Division[] {
  const width = unitWidth(meter, prevailing);
  const places = new Map<number, Division['kind']>();
  for (let units = meter.beatUnits; units < meter.count; units += meter.beatUnits) places.set(units, 'beat');
  let units = 0;
  for (const group of (meter.grouping ?? []).slice(0, -1)) {
    units += group;
    places.set(units, 'group');
  }
  return [...places].sort((a, b) => a[0] - b[0]).map(([at, kind]) => ({ x: at * width, kind }));
}

/** A number of beats as a musician writes it: "4", "3½", "2¼". */
export function beatsText(beats: number): string {
  const whole = Math.floor(beats + 1e-9);
  const rest = beats - whole;
  const part = PARTS.find(([value]) => Math.abs(rest - value) < 1e-6)?.[1];
  if (part === undefined) return rest < 1e-6 ? String(whole) : numberText(beats, 2, 2);
  return whole === 0 ? part : `${whole}${part}`;
}

/** "1 beat", "3½ beats". */
export function lengthText(beats: number): string {
  return beats === 1 ? msg('1 beat') : msg(str`${beatsText(beats)} beats`);
}

const PARTS: readonly (readonly [number, string])[] = [
  [1 / 4, '¼'],
  [1 / 3, '⅓'],
  [1 / 2, '½'],
  [2 / 3, '⅔'],
  [3 / 4, '¾'],
];

function unitWidth(meter: Meter, prevailing: Meter): number {
  return prevailing.unit / (meter.unit * prevailing.beatUnits);
}
