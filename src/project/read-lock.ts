import type { KeptLocks, Lock } from '../model/locks.js';
import type { LockDraft } from '../model/song-map.js';
import { readMeter, readSeconds } from './read-music.js';
import { optional, readList, readNumber, readObject, readOneOf, readText, type Fields } from './read-value.js';

const KINDS = [
  'beat',
  'no-beat',
  'downbeat',
  'not-downbeat',
  'bar-length',
  'meter',
  'tempo',
  'tap',
  'bar-lines',
  'free',
  'edge',
] as const satisfies readonly Lock['kind'][];

/** A lock from outside, every field checked. */
export function readLock(value: unknown, place: string): Lock {
  return lockAt(value, place, KINDS);
}

/** A lock without an id. */
export function readDraft(value: unknown, place: string): LockDraft {
  return draftOf(readObject(value, place), place, KINDS);
}

function lockAt(value: unknown, place: string, kinds: readonly Lock['kind'][]): Lock {
  const fields = readObject(value, place);
  return { id: readText(fields('id'), `${place}, id`, 40), ...draftOf(fields, place, kinds) } as Lock;
}

function draftOf(fields: Fields, place: string, kinds: readonly Lock['kind'][]): LockDraft {
  const kind = readOneOf(fields('kind'), `${place}, kind`, kinds);
  const time = (key: string): number => readSeconds(fields(key), `${place}, ${key}`);
  const times = (key: string): readonly number[] => readList(fields(key), `${place}, ${key}`, readSeconds);
  const meter = (): ReturnType<typeof readMeter> => readMeter(fields('meter'), `${place}, meter`);
  switch (kind) {
    case 'beat':
    case 'no-beat':
    case 'downbeat':
    case 'not-downbeat':
      return { kind, time: time('time') };
    case 'bar-length':
      return { kind, time: time('time'), meter: meter() };
    case 'meter':
      return { kind, from: time('from'), to: time('to'), meter: meter() };
    case 'tempo':
      return {
        kind,
        from: time('from'),
        to: time('to'),
        period: readNumber(fields('period'), `${place}, period`, 1e-3, 1000),
        ...optional(fields, 'kept', place, (list, at) => readList(list, at, readKept)),
      };
    case 'tap':
      return { kind, beats: times('beats'), downbeats: times('downbeats') };
    case 'bar-lines':
      return { kind, starts: times('starts') };
    case 'free':
      return { kind, from: time('from'), to: time('to') };
    case 'edge':
      return { kind, edge: readOneOf(fields('edge'), `${place}, edge`, ['start', 'end'] as const), time: time('time') };
  }
}

/** Tempo locks are not kept, so that nothing is nested without end. */
const KEPT_KINDS = KINDS.filter((kind) => kind !== 'tempo');

function readKept(value: unknown, place: string): KeptLocks {
  const fields = readObject(value, place);
  return {
    ratio: readNumber(fields('ratio'), `${place}, ratio`, 1e-6, 1e6),
    locks: readList(fields('locks'), `${place}, lock`, (entry, at) => {
      const pair = readObject(entry, at);
      const was = lockAt(pair('was'), `${at}, was`, KEPT_KINDS);
      return { was, ...optional(pair, 'now', at, (now, nowAt) => lockAt(now, nowAt, KEPT_KINDS)) };
    }),
  };
}
