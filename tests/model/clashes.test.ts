import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clash, clashes } from '../../src/model/clashes.js';
import { holds } from '../../src/model/lock-holds.js';
import type { LockDraft } from '../../src/model/song-map.js';
import { COMMON_TIME, parseMeter } from '../../src/music/meter.js';
import { applyEdit, editArbitrary, mapArbitrary } from '../support/arbitraries.js';
import { runs } from '../support/runs.js';

describe('locks that cannot hold together', () => {
  const cases: readonly [string, boolean, LockDraft, LockDraft][] = [
    ['beat 1 where no beat is', true, { kind: 'no-beat', time: 1 }, { kind: 'downbeat', time: 1.05 }],
    ['a bar where no beat is', true, { kind: 'no-beat', time: 1 }, { kind: 'bar-length', time: 1, meter: COMMON_TIME }],
    ['beat 1 and not', true, { kind: 'not-downbeat', time: 1 }, { kind: 'downbeat', time: 1 }],
    ['not beat 1 on a moved bar line', true, { kind: 'not-downbeat', time: 1 }, { kind: 'bar-lines', starts: [1, 3] }],
    [
      'not beat 1 where a pickup has its length',
      false,
      { kind: 'not-downbeat', time: 1 },
      { kind: 'bar-length', time: 1, meter: COMMON_TIME },
    ],
    ['a beat in free time', true, { kind: 'free', from: 1, to: 3 }, { kind: 'beat', time: 2 }],
    ['a beat where free time begins', false, { kind: 'free', from: 1, to: 3 }, { kind: 'beat', time: 1 }],
    ['a beat where free time ends', false, { kind: 'free', from: 1, to: 3 }, { kind: 'beat', time: 3 }],
    [
      'taps across free time',
      true,
      { kind: 'free', from: 1, to: 3 },
      { kind: 'tap', beats: [0.5, 3.5], downbeats: [] },
    ],
    ['a beat between taps', true, { kind: 'tap', beats: [1, 1.5], downbeats: [] }, { kind: 'beat', time: 1.2 }],
    ['a beat that is a tap', false, { kind: 'tap', beats: [1, 1.5], downbeats: [] }, { kind: 'beat', time: 1.5 }],
    ['a beat beside the taps', false, { kind: 'tap', beats: [1, 1.5], downbeats: [] }, { kind: 'beat', time: 1.7 }],
    [
      'another beat 1 than tapped',
      true,
      { kind: 'tap', beats: [1, 1.5], downbeats: [1] },
      { kind: 'downbeat', time: 1.5 },
    ],
    [
      'beat 1 among taps without',
      false,
      { kind: 'tap', beats: [1, 1.5], downbeats: [] },
      { kind: 'downbeat', time: 1.5 },
    ],
    [
      'a length against the taps',
      true,
      { kind: 'tap', beats: [1, 1.5, 2], downbeats: [1, 1.5] },
      { kind: 'bar-length', time: 1, meter: parseMeter('2/4') },
    ],
    [
      'a length as tapped',
      false,
      { kind: 'tap', beats: [1, 1.5, 2], downbeats: [1, 2] },
      { kind: 'bar-length', time: 1, meter: parseMeter('2/4') },
    ],
    [
      'two lengths of one bar',
      true,
      { kind: 'bar-length', time: 1, meter: COMMON_TIME },
      { kind: 'bar-length', time: 1, meter: parseMeter('2/4') },
    ],
    ['a beat before the map', true, { kind: 'edge', edge: 'start', time: 2 }, { kind: 'beat', time: 1 }],
    ['a beat after the map', true, { kind: 'edge', edge: 'end', time: 2 }, { kind: 'beat', time: 2 }],
    ['bar lines between others', true, { kind: 'bar-lines', starts: [1, 3] }, { kind: 'downbeat', time: 2 }],
    ['two tempi', false, { kind: 'tempo', from: 0, to: 1, period: 1 }, { kind: 'tempo', from: 1, to: 2, period: 0.5 }],
  ];
  it.each(cases)('%s: %s', (_, expected, one, other) => {
    expect(clash(one, other)).toBe(expected);
    expect(clash(other, one)).toBe(expected);
  });

  it('never hold together in any map', () => {
    // Whatever is called a clash must be one: no map does both. (That not all are found is said where it is defined.)
    const edits = fc.array(editArbitrary(), { maxLength: 6 });
    fc.assert(
      fc.property(mapArbitrary(), edits, mapArbitrary(), (song, list, other) => {
        const { locks } = list.reduce(applyEdit, song);
        for (const { spans, start, end } of [song, other]) {
          const held = locks.filter((lock) => lock.kind !== 'edge' && holds(spans, lock, start, end));
          for (const lock of held) expect(clashes(held, lock)).toEqual([]);
        }
      }),
      { numRuns: runs(60) },
    );
  });
});
