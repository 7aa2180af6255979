import { NO_BEAT_RADIUS } from '../model/locks.js';
import { MOST_BEATS } from '../model/edits/bars.js';
import type { LockDraft, SongMap } from '../model/song-map.js';
import { parseMeter, withBeats, type Meter } from '../music/meter.js';
import { JsonTooLarge, MOST_VALUES, readJson } from '../project/read-json.js';

/** A file of locks that cannot be used; the message names the entry, what was found and what to write. */
export class LocksProblem extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'LocksProblem';
  }
}

const KINDS = 'beat, no-beat, downbeat, not-downbeat, bar-length, meter, tempo, tap, bar-lines, free, edge';
const MOST_LOCKS = 10_000;
const MOST_TIMES = 100_000;
type Entry = Readonly<Record<string, unknown>>;

/**
 * Reads a list of locks (JSON text) for `map`: times in seconds within the recording, taken exactly as given. "beats"
 * counts the beat of the map's time signature. Throws LocksProblem for anything else.
 */
export function readLocks(text: string, map: SongMap): readonly LockDraft[] {
  let list: unknown;
  try {
    list = readJson(text);
  } catch (error) {
    if (error instanceof JsonTooLarge)
      throw new LocksProblem(`the file of locks holds more than ${MOST_VALUES} values; write those of one song`);
    const why = error instanceof Error ? error.message.slice(0, 120) : '';
    throw new LocksProblem(
      `the file of locks is not JSON (${why}); write a list like [{"kind": "downbeat", "time": 12.5}]`,
    );
  }
  if (!Array.isArray(list))
    throw new LocksProblem(
      `the file of locks holds ${shown(list)}; write a list: [{"kind": "downbeat", "time": 12.5}]`,
    );
  if (list.length > MOST_LOCKS)
    throw new LocksProblem(`the file has ${list.length} locks; at most ${MOST_LOCKS} are read`);
  return (list as unknown[]).map((entry, i) => readEntry(entry, `lock ${i + 1}`, map));
}

function readEntry(value: unknown, place: string, map: SongMap): LockDraft {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new LocksProblem(`${place}: found ${shown(value)}; write an object like {"kind": "downbeat", "time": 12.5}`);
  const entry = Object.fromEntries(Object.entries(value)) as Entry;
  const { kind } = entry;
  const at = typeof kind === 'string' && KINDS.split(', ').includes(kind) ? `${place} (${kind})` : place;
  const time = (key: string): number => timeAt(entry[key], `${at}: "${key}"`, map);
  switch (kind) {
    case 'beat':
    case 'no-beat':
    case 'downbeat':
    case 'not-downbeat':
      return { kind, time: time('time') };
    case 'bar-length':
      return { kind, time: time('time'), meter: lengthOf(entry, at, map) };
    case 'meter':
      return { kind, ...stretch(entry, at, map), meter: meterAt(entry.meter, at) };
    case 'tempo':
      return { kind, ...stretch(entry, at, map), period: 60 / bpmAt(entry.bpm, at) };
    case 'tap': {
      const beats = timesAt(entry.beats, `${at}: "beats"`, 2, map);
      const downbeats = timesAt(entry.downbeats ?? [], `${at}: "downbeats"`, 0, map);
      const stray = downbeats.find((downbeat) => !beats.includes(downbeat));
      if (stray !== undefined)
        throw new LocksProblem(`${at}: "downbeats" has ${stray}, which is not in "beats"; write it in both`);
      return { kind, beats, downbeats };
    }
    case 'bar-lines':
      return { kind, starts: timesAt(entry.starts, `${at}: "starts"`, 1, map) };
    case 'free':
      return { kind, ...stretch(entry, at, map) };
    case 'edge':
      if (entry.edge !== 'start' && entry.edge !== 'end')
        throw new LocksProblem(`${at}: "edge" is ${shown(entry.edge)}; write "start" or "end"`);
      return { kind, edge: entry.edge, time: time('time') };
    default:
      throw new LocksProblem(`${place}: "kind" is ${shown(kind)}; write one of ${KINDS}`);
  }
}

function timeAt(value: unknown, place: string, map: SongMap): number {
  const { duration } = map.recording;
  if (typeof value !== 'number' || !(value >= 0 && value <= duration))
    throw new LocksProblem(`${place} is ${shown(value)}; write seconds, a number from 0 to ${duration.toFixed(2)}`);
  return value;
}

function timesAt(value: unknown, place: string, least: number, map: SongMap): readonly number[] {
  if (!Array.isArray(value) || value.length < least || value.length > MOST_TIMES)
    throw new LocksProblem(`${place} is ${shown(value)}; write a list of at least ${least} times in seconds`);
  const times = (value as unknown[]).map((time, i) => timeAt(time, `${place}, time ${i + 1},`, map));
  const back = times.findIndex((time, i) => i > 0 && time - (times[i - 1] as number) < NO_BEAT_RADIUS);
  if (back > 0)
    throw new LocksProblem(
      `${place}, time ${back + 1}, is ${times[back]} after ${times[back - 1]}; write rising times`,
    );
  return times;
}

function stretch(entry: Entry, place: string, map: SongMap): { readonly from: number; readonly to: number } {
  const from = entry.from === undefined ? map.start : timeAt(entry.from, `${place}: "from"`, map);
  const to = entry.to === undefined ? map.end : timeAt(entry.to, `${place}: "to"`, map);
  if (from >= to) throw new LocksProblem(`${place}: "from" is ${from} and "to" is ${to}; "to" must be later`);
  return { from, to };
}

function lengthOf(entry: Entry, place: string, map: SongMap): Meter {
  const { beats, meter } = entry;
  if ((beats === undefined) === (meter === undefined))
    throw new LocksProblem(`${place}: write either "beats", a number, or "meter", like "7/8 (2+2+3)"`);
  if (beats === undefined) return meterAt(meter, place);
  const wrong = `${place}: "beats" is ${shown(beats)}; write a whole or half number of beats up to ${MOST_BEATS}`;
  if (typeof beats !== 'number' || !(beats >= 0.5 && beats <= MOST_BEATS) || !Number.isInteger(2 * beats))
    throw new LocksProblem(wrong);
  try {
    return withBeats(map.prevailing, beats);
  } catch {
    throw new LocksProblem(wrong);
  }
}

function meterAt(value: unknown, place: string): Meter {
  try {
    if (typeof value === 'string') return parseMeter(value);
  } catch {
    // Said below.
  }
  throw new LocksProblem(`${place}: "meter" is ${shown(value)}; write it like "4/4", "6/8" or "7/8 (2+2+3)"`);
}

function bpmAt(value: unknown, place: string): number {
  if (typeof value === 'number' && value >= 10 && value <= 600) return value;
  throw new LocksProblem(`${place}: "bpm" is ${shown(value)}; write beats a minute, a number from 10 to 600`);
}

function shown(value: unknown): string {
  return value === undefined ? 'missing' : (JSON.stringify(value) ?? String(value)).slice(0, 60);
}
