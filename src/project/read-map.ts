import { msg, str } from '@lit/localize';
import { readChartOptions } from '../model/chart-options.js';
import { LONGEST_CUE } from '../model/edits/chart.js';
import { check } from '../model/invariants.js';
import { HIGHEST_CAPO } from '../music/capo.js';
import { DIFFERENCE_KINDS, type IgnoredDifference } from '../model/ignored-difference.js';
import type {
  Arrangement,
  ArrangementItem,
  ChordMark,
  ChosenShape,
  Doubt,
  Fingered,
  LockDraft,
  Recording,
  Section,
  SongMap,
  Span,
} from '../model/song-map.js';
import { strumFault, type Strum } from '../music/strum.js';
import { ProjectProblem } from './problem.js';
import { readDraft, readLock } from './read-lock.js';
import { LONGEST, readKey, readMeter, readSeconds, readShare } from './read-music.js';
import {
  damaged,
  LONGEST_LIST,
  optional,
  readInteger,
  readList,
  readNumber,
  readObject,
  readOneOf,
  readText,
} from './read-value.js';

/**
 * A song map from outside: every field checked, unknown ones left behind, and the whole checked to be sound. Parts that
 * were read before (an object shared with another map) are not read again. Throws ProjectProblem.
 */
export function readMap(value: unknown, place: string): SongMap {
  return checked(mapFields(value, place), place);
}

function mapFields(value: unknown, place: string): SongMap {
  const fields = readObject(value, place);
  return {
    title: readText(fields('title'), `${place}, title`),
    recording: readRecording(fields('recording'), `${place}, recording`),
    start: readSeconds(fields('start'), `${place}, start`),
    end: readSeconds(fields('end'), `${place}, end`),
    spans: once(fields('spans'), (list) => readList(list, `${place}, span`, (v, p) => once(v, (x) => readSpan(x, p)))),
    prevailing: readMeter(fields('prevailing'), msg(str`${place}, prevailing time signature`)),
    tuning: readNumber(fields('tuning'), `${place}, tuning`, -50, 50),
    ...optional(fields, 'key', place, readKey),
    sections: once(fields('sections'), (list) =>
      readList(list, `${place}, section`, (v, p) => once(v, (x) => readSection(x, p))),
    ),
    ...optional(fields, 'refused', place, (list, p) => readList(list, p, readSeconds)),
    chords: once(fields('chords'), (list) =>
      readList(list, `${place}, chord`, (v, p) => once(v, (x) => readChord(x, p))),
    ),
    locks: once(fields('locks'), (list) => readList(list, `${place}, lock`, (v, p) => once(v, (x) => readLock(x, p)))),
    doubts: readDoubts(fields('doubts')),
    ...optional(fields, 'arrangements', place, (list, p) => readList(list, p, readArrangement)),
    ...optional(fields, 'fingered', place, readFingered),
    ...optional(fields, 'chart', place, (chart) => readChartOptions(chart)),
    ...optional(fields, 'ignored', place, (list, p) => readList(list, p, readIgnored)),
    analysis: readText(fields('analysis'), `${place}, analysis`),
  };
}

/** What each object from outside was read to: the maps of a history share most of what they hold. */
const known = new WeakMap<object, unknown>();

function once<T>(value: unknown, read: (value: unknown) => T): T {
  if (typeof value !== 'object' || value === null) return read(value);
  if (known.has(value)) return known.get(value) as T;
  const made = read(value);
  known.set(value, made);
  return made;
}

function checked(map: SongMap, place: string): SongMap {
  const faults = check(map);
  if (faults.length === 0) return map;
  // A doubt is only a hint: it is made anew by the next solve.
  const certain = { ...map, doubts: [] };
  const rest = check(certain);
  if (rest.length === 0) return certain;
  throw new ProjectProblem(
    'damaged',
    msg(str`This project file is damaged: ${place} does not add up (${rest[0]}). Load another copy of the file.`),
  );
}

function readRecording(value: unknown, place: string): Recording {
  const fields = readObject(value, place);
  return {
    fileName: readText(fields('fileName'), `${place}, fileName`),
    duration: readNumber(fields('duration'), `${place}, duration`, 0, LONGEST),
    sampleRate: readNumber(fields('sampleRate'), `${place}, sampleRate`, 1, 1e6),
    channels: readInteger(fields('channels'), `${place}, channels`, 1, 256),
    contentId: readText(fields('contentId'), `${place}, contentId`, 128),
  };
}

function readSpan(value: unknown, place: string): Span {
  const fields = readObject(value, place);
  const kind = readOneOf(fields('kind'), `${place}, kind`, ['lead-in', 'bar', 'free', 'tail'] as const);
  const start = readSeconds(fields('start'), `${place}, start`);
  if (kind !== 'bar') return { kind, start };
  return {
    kind,
    start,
    beats: readList(fields('beats'), `${place}, beat`, readSeconds),
    meter: readMeter(fields('meter'), `${place}, meter`),
    ...optional(fields, 'pickup', place, readTrue),
    confidence: readShare(fields('confidence'), `${place}, confidence`),
  };
}

function readSection(value: unknown, place: string): Section {
  const fields = readObject(value, place);
  return {
    id: readText(fields('id'), `${place}, id`, 40),
    name: readText(fields('name'), `${place}, name`),
    letter: readText(fields('letter'), `${place}, letter`, 40),
    start: readSeconds(fields('start'), `${place}, start`),
    ...optional(fields, 'anchor', place, readSeconds),
    origin: readOrigin(fields('origin'), `${place}, origin`),
    ...optional(fields, 'swing', place, (ratio, at) => readNumber(ratio, at, 1, 3)),
    ...optional(fields, 'strum', place, readStrum),
    ...optional(fields, 'cue', place, (cue, at) => readText(cue, at, LONGEST_CUE)),
  };
}

function readArrangement(value: unknown, place: string): Arrangement {
  const fields = readObject(value, place);
  return {
    id: readText(fields('id'), `${place}, id`, 40),
    name: readText(fields('name'), `${place}, name`),
    items: readList(fields('items'), `${place}, item`, (item, at): ArrangementItem => {
      const own = readObject(item, at);
      return {
        time: readSeconds(own('time'), `${at}, time`),
        ...optional(own, 'early', at, (early, p) => readInteger(early, p, 0, 64)),
      };
    }),
  };
}

function readFingered(value: unknown, place: string): Fingered {
  const fields = readObject(value, place);
  return {
    ...optional(fields, 'transpose', place, (shift, at) => readInteger(shift, at, -11, 11)),
    ...optional(fields, 'capo', place, (fret, at) => readInteger(fret, at, 1, HIGHEST_CAPO)),
    ...optional(fields, 'sounding', place, readTrue),
    ...optional(fields, 'shapes', place, (list, at) => readList(list, at, readChosenShape)),
  };
}

function readChosenShape(value: unknown, place: string): ChosenShape {
  const fields = readObject(value, place);
  return {
    strings: readText(fields('strings'), `${place}, strings`, 60),
    harte: readText(fields('harte'), `${place}, harte`, 200),
    frets: readList(fields('frets'), `${place}, frets`, (fret, at) => readInteger(fret, at, -1, 36)),
  };
}

function readStrum(value: unknown, place: string): Strum {
  const fields = readObject(value, place);
  const parts = readNumber(fields('parts'), `${place}, parts`, 1, 4) as Strum['parts'];
  const strum = { parts, strokes: readText(fields('strokes'), `${place}, strokes`, 64) };
  const fault = strumFault(strum);
  if (fault) throw damaged(place, msg('a strum pattern'), strum.strokes);
  return strum;
}

function readChord(value: unknown, place: string): ChordMark {
  const fields = readObject(value, place);
  return {
    time: readSeconds(fields('time'), `${place}, time`),
    harte: readText(fields('harte'), `${place}, harte`, 200),
    origin: readOrigin(fields('origin'), `${place}, origin`),
    confidence: readShare(fields('confidence'), `${place}, confidence`),
  };
}

/** Doubts that can be read; the others are left out. */
function readDoubts(value: unknown): readonly Doubt[] {
  if (!Array.isArray(value) || value.length > LONGEST_LIST) return [];
  return (value as unknown[]).flatMap((entry, i) => {
    try {
      return [once(entry, (doubt) => readDoubt(doubt, `doubt ${i + 1}`))];
    } catch (error) {
      if (error instanceof ProjectProblem) return [];
      throw error;
    }
  });
}

function readDoubt(value: unknown, place: string): Doubt {
  const fields = readObject(value, place);
  const drafts = (key: string): readonly LockDraft[] => readList(fields(key), `${place}, ${key}`, readDraft);
  return {
    time: readSeconds(fields('time'), `${place}, time`),
    weight: readShare(fields('weight'), `${place}, weight`),
    kind: readOneOf(fields('kind'), `${place}, kind`, ['level', 'phase', 'length', 'weak', 'edge', 'free'] as const),
    text: readText(fields('text'), `${place}, text`),
    keep: drafts('keep'),
    other: drafts('other'),
  };
}

function readIgnored(value: unknown, place: string): IgnoredDifference {
  const fields = readObject(value, place);
  return {
    kind: readOneOf(fields('kind'), `${place}, kind`, DIFFERENCE_KINDS),
    time: readSeconds(fields('time'), `${place}, time`),
  };
}

function readOrigin(value: unknown, place: string): 'suggested' | 'user' {
  return readOneOf(value, place, ['suggested', 'user'] as const);
}

function readTrue(value: unknown, place: string): true {
  if (value !== true) throw damaged(place, msg('true or absent'), value);
  return true;
}
