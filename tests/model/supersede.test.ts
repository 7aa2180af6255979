import { describe, expect, it } from 'vitest';
import { clashes } from '../../src/model/clashes.js';
import { addLocks } from '../../src/model/edits/add-locks.js';
import { EditProblem } from '../../src/model/edits/problem.js';
import type { LockDraft } from '../../src/model/song-map.js';
import { COMMON_TIME, parseMeter, withBeats } from '../../src/music/meter.js';
import { bars } from '../support/notation.js';
import { shownLocks } from '../support/shown-locks.js';

const map = bars('4 4 4 4');
const after = (...drafts: LockDraft[]): string[] => shownLocks(addLocks(map, drafts));

describe('deciding the same thing anew', () => {
  it.each<[string, LockDraft[], string[]]>([
    [
      'a beat, then none there',
      [
        { kind: 'beat', time: 1.2 },
        { kind: 'no-beat', time: 1.22 },
      ],
      ['no-beat 1.22'],
    ],
    [
      'no beat, then one there',
      [
        { kind: 'no-beat', time: 1.2 },
        { kind: 'beat', time: 1.22 },
      ],
      ['beat 1.22'],
    ],
    [
      'a beat, then a bit later',
      [
        { kind: 'beat', time: 1.2 },
        { kind: 'beat', time: 1.25 },
      ],
      ['beat 1.25'],
    ],
    [
      'two beats well apart',
      [
        { kind: 'beat', time: 1.2 },
        { kind: 'beat', time: 1.3 },
      ],
      ['beat 1.2', 'beat 1.3'],
    ],
    [
      'beat 1, then not',
      [
        { kind: 'downbeat', time: 1 },
        { kind: 'not-downbeat', time: 1 },
      ],
      ['not-downbeat 1'],
    ],
    [
      'not beat 1, then so',
      [
        { kind: 'not-downbeat', time: 1 },
        { kind: 'downbeat', time: 1 },
      ],
      ['downbeat 1'],
    ],
    [
      'a bar length twice',
      [
        { kind: 'bar-length', time: 2, meter: COMMON_TIME },
        { kind: 'bar-length', time: 2, meter: parseMeter('3/4') },
      ],
      ['bar-length 2: 3/4'],
    ],
    [
      'an edge twice',
      [
        { kind: 'edge', edge: 'end', time: 7 },
        { kind: 'edge', edge: 'end', time: 6 },
      ],
      ['end 6'],
    ],
    [
      'both edges',
      [
        { kind: 'edge', edge: 'end', time: 7 },
        { kind: 'edge', edge: 'start', time: 1 },
      ],
      ['end 7', 'start 1'],
    ],
    [
      'free time around free time',
      [
        { kind: 'free', from: 2, to: 3 },
        { kind: 'free', from: 1, to: 4 },
      ],
      ['free 1-4'],
    ],
    [
      'a time signature in the midst of another',
      [
        { kind: 'meter', from: 0, to: 8, meter: COMMON_TIME },
        { kind: 'meter', from: 2, to: 4, meter: parseMeter('3/4') },
      ],
      ['meter 0-2: 4/4', 'meter 4-8: 4/4', 'meter 2-4: 3/4'],
    ],
    [
      'a tempo over the end of another',
      [
        { kind: 'tempo', from: 0, to: 4, period: 0.5 },
        { kind: 'tempo', from: 2, to: 8, period: 1 },
      ],
      ['tempo 0-2: 0.5', 'tempo 2-8: 1'],
    ],
    [
      'taps over part of earlier ones',
      [
        { kind: 'tap', beats: [0, 0.5, 1, 1.5, 2, 2.5], downbeats: [0, 2] },
        { kind: 'tap', beats: [1.01, 1.49], downbeats: [] },
      ],
      ['tap 0 0.5 | 0', 'tap 2 2.5 | 2', 'tap 1.01 1.49 |'],
    ],
    [
      'moved bar lines over later ones',
      [
        { kind: 'bar-lines', starts: [0.5, 2.5, 4.5, 6.5] },
        { kind: 'bar-lines', starts: [5, 7] },
      ],
      ['bar-lines 0.5 2.5 4.5', 'bar-lines 5 7'],
    ],
    [
      'a bar among moved bar lines',
      [
        { kind: 'bar-lines', starts: [0.5, 2.5, 4.5, 6.5] },
        { kind: 'bar-length', time: 2.5, meter: withBeats(COMMON_TIME, 3) },
      ],
      ['bar-lines 0.5 2.5', 'bar-length 2.5: 3/4'],
    ],
    [
      'a bar that moved bar lines give its length already',
      [
        { kind: 'bar-lines', starts: [0, 2, 4, 6] },
        { kind: 'bar-length', time: 2, meter: COMMON_TIME },
      ],
      ['bar-lines 0 2 4 6', 'bar-length 2: 4/4'],
    ],
    [
      'beat 1 between moved bar lines',
      [
        { kind: 'bar-lines', starts: [0, 2, 4, 6] },
        { kind: 'downbeat', time: 3 },
      ],
      ['bar-lines 0 2', 'downbeat 3'],
    ],
    [
      'no beat 1 on a moved bar line',
      [
        { kind: 'bar-lines', starts: [0, 2, 4, 6] },
        { kind: 'not-downbeat', time: 4 },
      ],
      ['bar-lines 0 2', 'not-downbeat 4'],
    ],
  ])('%s', (_, drafts, expected) => {
    expect(after(...drafts)).toEqual(expected);
  });

  const tapped = { kind: 'tap', beats: [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5], downbeats: [0, 2] } as const;
  it.each<[string, LockDraft, string]>([
    ['a beat close by moves the tap', { kind: 'beat', time: 0.55 }, 'tap 0 0.55 1 1.5 2 2.5 3 3.5 | 0 2'],
    ['a beat between adds a tap', { kind: 'beat', time: 0.75 }, 'tap 0 0.5 0.75 1 1.5 2 2.5 3 3.5 | 0 2'],
    ['a beat on beat 1 moves both', { kind: 'beat', time: 2.02 }, 'tap 0 0.5 1 1.5 2.02 2.5 3 3.5 | 0 2.02'],
    ['no beat takes the tap out', { kind: 'no-beat', time: 2 }, 'tap 0 0.5 1 1.5 2.5 3 3.5 | 0'],
    ['beat 1 joins the others', { kind: 'downbeat', time: 1.5 }, 'tap 0 0.5 1 1.5 2 2.5 3 3.5 | 0 1.5 2'],
    ['not beat 1 leaves the others', { kind: 'not-downbeat', time: 2 }, 'tap 0 0.5 1 1.5 2 2.5 3 3.5 | 0'],
    [
      'a bar length moves where it ends',
      { kind: 'bar-length', time: 0, meter: parseMeter('3/4') },
      'tap 0 0.5 1 1.5 2 2.5 3 3.5 | 0 1.5 2',
    ],
    [
      'a longer bar swallows a beat 1',
      { kind: 'bar-length', time: 0, meter: parseMeter('6/4') },
      'tap 0 0.5 1 1.5 2 2.5 3 3.5 | 0 3',
    ],
  ])('in a tapped group: %s', (_, draft, expected) => {
    const next = addLocks(map, [tapped, draft]);
    expect(shownLocks(next)[0]).toBe(expected);
    expect(clashes(next.locks.slice(0, 1), draft)).toEqual([]);
  });

  it('taps take the exact place of beats that are locked close by', () => {
    expect(after({ kind: 'beat', time: 1.03 }, { kind: 'tap', beats: [0.5, 1, 1.5], downbeats: [1] })).toEqual([
      'beat 1.03',
      'tap 0.5 1.03 1.5 | 1.03',
    ]);
  });

  it('gives each lock an id of its own and never one that was just replaced', () => {
    const one = addLocks(map, [
      { kind: 'downbeat', time: 1 },
      { kind: 'beat', time: 3 },
    ]);
    expect(one.locks.map(({ id }) => id)).toEqual(['L1', 'L2']);
    expect(addLocks(one, [{ kind: 'not-downbeat', time: 1 }]).locks.map(({ id }) => id)).toEqual(['L2', 'L3']);
  });

  it.each<[string, LockDraft]>([
    ['no time', { kind: 'beat', time: NaN }],
    ['a stretch backwards', { kind: 'free', from: 3, to: 2 }],
    ['no beats', { kind: 'tap', beats: [], downbeats: [] }],
    ['a beat 1 that is no beat', { kind: 'tap', beats: [1, 2], downbeats: [1.5] }],
    ['no tempo', { kind: 'tempo', from: 0, to: 1, period: 0 }],
    ['an impossible measure', { kind: 'bar-length', time: 0, meter: { count: 0, unit: 4, beatUnits: 1 } }],
  ])('refuses a lock with %s', (_, draft) => {
    expect(() => addLocks(map, [draft])).toThrow(EditProblem);
  });
});
