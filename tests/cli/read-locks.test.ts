import { describe, expect, it } from 'vitest';
import { parseArguments } from '../../src/cli/arguments.js';
import { readLocks } from '../../src/cli/read-locks.js';
import type { SongMap } from '../../src/model/song-map.js';
import { COMMON_TIME } from '../../src/music/meter.js';

const map = { start: 0, end: 60, prevailing: COMMON_TIME, recording: { duration: 61 } } as SongMap;
const read = (list: unknown) => readLocks(JSON.stringify(list), map);

describe('a file of locks', () => {
  it('is read kind by kind, times exactly as given', () => {
    expect(
      read([
        { kind: 'downbeat', time: 1.2345678 },
        { kind: 'bar-length', time: 4, beats: 2 },
        { kind: 'bar-length', time: 6, meter: '7/8 (2+2+3)' },
        { kind: 'tempo', bpm: 120 },
        { kind: 'tap', beats: [10, 11, 12], downbeats: [11] },
      ]),
    ).toEqual([
      { kind: 'downbeat', time: 1.2345678 },
      { kind: 'bar-length', time: 4, meter: { count: 2, unit: 4, beatUnits: 1 } },
      { kind: 'bar-length', time: 6, meter: { count: 7, unit: 8, beatUnits: 1, grouping: [2, 2, 3] } },
      { kind: 'tempo', from: 0, to: 60, period: 0.5 },
      { kind: 'tap', beats: [10, 11, 12], downbeats: [11] },
    ]);
  });

  it.each<[unknown, RegExp]>([
    [{}, /holds \{\}; write a list/],
    [[null], /lock 1: found null; write an object/],
    [[{ kind: 'beat', time: 1 }, { kind: 'bar' }], /lock 2: "kind" is "bar"; write one of beat/],
    [[{ kind: 'beat', time: '1' }], /lock 1 \(beat\): "time" is "1"; write seconds/],
    [[{ kind: 'beat', time: 62 }], /is 62; write seconds, a number from 0 to 61/],
    [[{ kind: 'bar-length', time: 1 }], /write either "beats"/],
    [[{ kind: 'bar-length', time: 1, beats: 2.3 }], /"beats" is 2.3/],
    [[{ kind: 'meter', meter: '4-4' }], /"meter" is "4-4"; write it like/],
    [[{ kind: 'tempo', bpm: 0 }], /"bpm" is 0/],
    [[{ kind: 'free', from: 5, to: 5 }], /"to" must be later/],
    [[{ kind: 'bar-lines', starts: [3, 2] }], /time 2, is 2 after 3; write rising times/],
    [[{ kind: 'tap', beats: [3, 4], downbeats: [5] }], /has 5, which is not in "beats"/],
    [[{ kind: 'edge', edge: 'middle', time: 3 }], /write "start" or "end"/],
  ])('names what is wrong in %j', (list, message) => {
    expect(() => read(list)).toThrow(message);
  });

  it('is refused when it is not JSON', () => {
    expect(() => readLocks('beat at 3', map)).toThrow(/not JSON/);
    expect(() => readLocks(`[${'{},'.repeat(2_100_000)}{}]`, map)).toThrow(/more than 4000000 values; write those of/);
  });

  it('needs {name} in its name for several recordings', () => {
    expect(parseArguments(['--locks', 'l.json', 'a.wav', 'b.wav'])).toMatchObject({ kind: 'wrong' });
    expect(parseArguments(['--locks', 'l.json', 'a.wav'])).toMatchObject({ kind: 'run', request: { locks: 'l.json' } });
  });
});
