import { msg } from '@lit/localize';
import type { Meter, NoteUnit } from '../music/meter.js';
import type { Key } from '../model/song-map.js';
import { damaged, optional, readInteger, readList, readNumber, readObject, readOneOf, readText } from './read-value.js';

/** Longest recording, in seconds: a day. */
export const LONGEST: number = 86_400;

/** A moment of a recording. */
export function readSeconds(value: unknown, place: string): number {
  return readNumber(value, place, 0, LONGEST);
}

/** A number from 0 to 1. */
export function readShare(value: unknown, place: string): number {
  return readNumber(value, place, 0, 1);
}

export function readMeter(value: unknown, place: string): Meter {
  const fields = readObject(value, place);
  return {
    count: readInteger(fields('count'), `${place}, count`, 1, 64),
    unit: readOneOf<NoteUnit>(fields('unit'), `${place}, unit`, [1, 2, 4, 8, 16]),
    beatUnits: readInteger(fields('beatUnits'), `${place}, beatUnits`, 1, 64),
    ...optional(fields, 'grouping', place, (list, at) => readList(list, at, (n, p) => readInteger(n, p, 1, 64))),
  };
}

export function readKey(value: unknown, place: string): Key {
  const fields = readObject(value, place);
  const tonic = readText(fields('tonic'), `${place}, tonic`, 8);
  if (!/^[A-G](#|b)?$/.test(tonic)) throw damaged(`${place}, tonic`, msg('a note like C, F# or Bb'), tonic);
  return {
    tonic,
    mode: readOneOf(fields('mode'), `${place}, mode`, ['major', 'minor'] as const),
    confidence: readShare(fields('confidence'), `${place}, confidence`),
  };
}
