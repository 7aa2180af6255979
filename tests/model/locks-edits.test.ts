import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addLocks } from '../../src/model/edits/add-locks.js';
import * as b from '../../src/model/edits/bars.js';
import * as e from '../../src/model/edits/beats.js';
import { setEdge } from '../../src/model/edits/edge.js';
import { liftLock, liftLocks, locksAt } from '../../src/model/edits/lift.js';
import { EditProblem } from '../../src/model/edits/problem.js';
import { planShift } from '../../src/model/edits/shift.js';
import { clash, clashes } from '../../src/model/clashes.js';
import { check, checkLocks } from '../../src/model/invariants.js';
import { holds } from '../../src/model/lock-holds.js';
import type { Lock } from '../../src/model/locks.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { LockDraft, SongMap } from '../../src/model/song-map.js';
import { COMMON_TIME, parseMeter, withBeats } from '../../src/music/meter.js';
import { applyEdit, editArbitrary, EDIT_NAMES, mapArbitrary, type RandomEdit } from '../support/arbitraries.js';
import { bars, text } from '../support/notation.js';
import { runs } from '../support/runs.js';

/** Locks in short: "downbeat 2", "tap 0 0.5 1 | 0". */
function shown(map: SongMap): string[] {
  return map.locks.map((lock) => {
    switch (lock.kind) {
      case 'bar-length':
        return `bar-length ${lock.time}: ${lock.meter.count}/${lock.meter.unit}`;
      case 'meter':
        return `meter ${lock.from}-${lock.to}: ${lock.meter.count}/${lock.meter.unit}`;
      case 'tempo':
        return `tempo ${lock.from}-${lock.to}: ${lock.period}`;
      case 'tap':
        return `tap ${lock.beats.join(' ')} | ${lock.downbeats.join(' ')}`.trim();
      case 'bar-lines':
        return `bar-lines ${lock.starts.join(' ')}`;
      case 'free':
        return `free ${lock.from}-${lock.to}`;
      case 'edge':
        return `${lock.edge} ${lock.time}`;
      case 'beat':
      case 'no-beat':
      case 'downbeat':
      case 'not-downbeat':
        return `${lock.kind} ${lock.time}`;
    }
  });
}

const map = bars('4 4 4 4');
const after = (...drafts: LockDraft[]): string[] => shown(addLocks(map, drafts));

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
    expect(shown(next)[0]).toBe(expected);
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

describe('an edit', () => {
  /** Where a lock says something: from, to. */
  function reach(lock: Lock): readonly [number, number] {
    switch (lock.kind) {
      case 'meter':
      case 'tempo':
      case 'free':
        return [lock.from, lock.to];
      case 'tap':
        return [lock.beats[0]!, lock.beats[lock.beats.length - 1]!];
      case 'bar-lines':
        return [lock.starts[0]!, lock.starts[lock.starts.length - 1]!];
      case 'beat':
      case 'no-beat':
      case 'downbeat':
      case 'not-downbeat':
      case 'bar-length':
      case 'edge':
        return [lock.time, lock.time];
    }
  }

  /** True when the edit is a shift of bar lines, that on `line` among them. */
  function hasMoved(song: SongMap, { name, a, n }: RandomEdit, line: number): boolean {
    if (name !== 'shiftFrom' && name !== 'shiftAll') return false;
    const all = barsOf(song);
    const from = name === 'shiftFrom' ? Math.floor(a * all.length) : undefined;
    const { first, last } = planShift(song, from, n > 3 ? 1 : -1);
    return all.slice(first, last + 1).some(({ start }) => start === line);
  }

  it('leaves every lock alone that lies elsewhere than the one it adds', () => {
    const adding = EDIT_NAMES.filter((name) => !/halve|double|lift|moveBeat/.test(name));
    const edits = (maxLength: number): fc.Arbitrary<RandomEdit[]> =>
      fc.array(editArbitrary(adding), { minLength: 1, maxLength });
    fc.assert(
      fc.property(mapArbitrary(), edits(8), (song, list) => {
        let now = song;
        for (const edit of list) {
          const next = applyEdit(now, edit);
          const added = next.locks.filter((lock) => !now.locks.includes(lock));
          const gone = now.locks.filter((lock) => !next.locks.includes(lock));
          for (const lost of gone) {
            const [from, to] = reach(lost);
            const near = added.some((lock) => {
              const [newFrom, newTo] = reach(lock);
              return newFrom <= to + 0.07 && newTo >= from - 0.07;
            });
            // Bar lines moved before that move on leave no lock where they were.
            const moved = lost.kind === 'bar-lines' && lost.starts.some((line) => hasMoved(now, edit, line));
            // A lock of a single kind and place, or a piece of the old lock itself.
            const same = added.some((lock) => lock.kind === 'edge' && lost.kind === 'edge');
            expect(near || same || moved, `${edit.name} took ${JSON.stringify(lost)}`).toBe(true);
          }
          now = next;
        }
      }),
      { numRuns: runs(80) },
    );
  });

  it('of sections and chords touches no lock, one of bars and beats no typed chord or named section elsewhere', () => {
    const marking = EDIT_NAMES.filter((name) => /Section|Chords|Swing/.test(name));
    fc.assert(
      fc.property(
        mapArbitrary(),
        fc.array(editArbitrary(), { maxLength: 5 }),
        editArbitrary(marking),
        (song, list, last) => {
          const before = list.reduce(applyEdit, song);
          const now = applyEdit(before, last);
          expect(now.locks).toBe(before.locks);
          expect(now.spans).toBe(before.spans);
        },
      ),
      { numRuns: runs(60) },
    );
    const rhythm = EDIT_NAMES.filter((name) => !/Section|Chords|Swing|setStart|setEnd|moveBeat/.test(name));
    fc.assert(
      fc.property(
        mapArbitrary(),
        fc.array(editArbitrary(), { maxLength: 5 }),
        editArbitrary(rhythm),
        (song, list, last) => {
          const before = list.reduce(applyEdit, song);
          const now = applyEdit(before, last);
          expect(now.chords).toEqual(before.chords);
          expect(now.sections).toEqual(before.sections);
        },
      ),
      { numRuns: runs(60) },
    );
  });
});

describe('bars', () => {
  it('get so many beats, half beats too', () => {
    expect(shown(b.setBarBeats(map, 1, 2))).toEqual(['bar-length 2: 2/4']);
    expect(shown(b.setBarBeats(map, 1, 3.5))).toEqual(['bar-length 2: 7/8']);
    expect(shown(b.setBarBeats(bars('6/8 6/8'), 0, 3))).toEqual(['bar-length 0: 9/8']);
  });

  it('that are a pickup keep "not beat 1" at their start, others do not', () => {
    const drafts: LockDraft[] = [{ kind: 'not-downbeat', time: 0 }];
    expect(shown(b.setBarBeats(addLocks(bars('(1) 4'), drafts), 0, 1))).toEqual([
      'not-downbeat 0',
      'bar-length 0: 1/4',
    ]);
    expect(shown(b.setBarBeats(addLocks(bars('1 4'), drafts), 0, 1))).toEqual(['bar-length 0: 1/4']);
  });

  it('take the prevailing measure with its grouping when they get its number of beats', () => {
    const song = bars('7/8(2+2+3) 4 7/8(2+2+3)', { prevailing: '7/8 (2+2+3)' });
    expect(b.setBarBeats(song, 1, 7).locks).toMatchObject([{ meter: { count: 7, unit: 8, grouping: [2, 2, 3] } }]);
  });

  it.each([0, -1, 1.25, 33, NaN, Infinity])('cannot have %s beats', (beats) => {
    expect(() => b.setBarBeats(map, 0, beats)).toThrow(/cannot have/);
  });

  it('that do not exist cannot be set', () => {
    expect(() => b.setBarBeats(map, 4, 3)).toThrow(/no such bar/);
    expect(() => b.lockBar(map, -1)).toThrow(/no such bar/);
  });

  it('start on a beat, or no longer do', () => {
    expect(shown(b.toggleDownbeat(map, 2.5))).toEqual(['downbeat 2.5']);
    expect(shown(b.toggleDownbeat(map, 2))).toEqual(['not-downbeat 2']);
    expect(shown(b.toggleDownbeat(b.toggleDownbeat(map, 2), 2))).toEqual(['not-downbeat 2']);
    expect(shown(b.toggleDownbeat(bars('(1) 4'), 0))).toEqual(['downbeat 0']);
  });

  it('are accepted as they stand, and then hold', () => {
    const song = [0, 1, 2].reduce(b.lockBar, bars('(1) 4 3.5'));
    expect(checkLocks(song)).toEqual([]);
    expect(song.locks.length).toBe(3);
    expect([b.isBarLocked(song, 1), b.isBarLocked(bars('4'), 0)]).toEqual([true, false]);
  });

  it('get a time signature from bar line to bar line, and over the whole map the song gets it', () => {
    const part = b.setMeter(map, 2.3, 3, parseMeter('3/4'));
    expect(shown(part)).toEqual(['meter 2-4: 3/4']);
    expect(part.prevailing.count).toBe(4);
    const all = b.setMeter(bars('- 4 4 -'), 0.6, 4.4, parseMeter('3/4'));
    expect(shown(all)).toEqual(['meter 0-5: 3/4']);
    expect(all.prevailing.count).toBe(3);
    expect(() => b.setMeter(map, 3, 3, COMMON_TIME)).toThrow(/no length/);
    expect(() => b.setMeter(map, 30, 40, COMMON_TIME)).toThrow(/outside the map/);
  });
});

describe('a beat', () => {
  it('moves with all that stands on it', () => {
    const song = b.lockBar(bars('Verse: 4 | Chorus: 4:G 4'), 1);
    const moved = e.moveBeat(song, 2, 2.2);
    expect(barsOf(moved).map((bar) => bar.start)).toEqual([0, 2.2, 4]);
    expect(moved.sections.map(({ start }) => start)).toEqual([0, 2.2]);
    expect(moved.chords.map(({ time }) => time)).toEqual([2.2]);
    expect(shown(moved)).toEqual(['bar-length 2.2: 4/4', 'beat 2.2']);
    expect(checkLocks(moved)).toEqual([]);
  });

  it('at the start of the map leaves a lead-in behind', () => {
    expect(text(e.moveBeat(bars('4'), 0, 0.25), 0.25)).toBe('- 4');
  });

  it('takes a tapped beat with it', () => {
    const tapped = e.tapBeats(map, [0, 0.5, 1, 1.5, 2], [0, 2]);
    expect(shown(e.moveBeat(tapped, 2, 2.1))).toEqual(['tap 0 0.5 1 1.5 2.1 | 0 2.1', 'beat 2.1']);
  });

  it('stays between its neighbours', () => {
    expect(() => e.moveBeat(map, 2, 2.5)).toThrow(/only as far as the beats beside it/);
    expect(() => e.moveBeat(map, 2, 1.5)).toThrow(/only as far as the beats beside it/);
    expect(() => e.moveBeat(map, 2.2, 2.3)).toThrow(/no beat at 0:02.20/);
    expect(() => e.moveBeat(bars('4 ~ 4'), 1.5, 2.1)).toThrow(/only as far/);
  });

  it('is added inside the map only', () => {
    expect(shown(e.addBeat(map, 1.25))).toEqual(['beat 1.25']);
    expect(() => e.addBeat(map, 9)).toThrow(/outside the map/);
  });

  it('tapped beats are sorted, thinned out and cut to the map', () => {
    expect(shown(e.tapBeats(map, [1, 0.5, 0.55, 99, -1], [0.51]))).toEqual(['tap 0.5 1 | 0.5']);
    expect(() => e.tapBeats(map, [1], [])).toThrow(/Tap at least two beats/);
    expect(() => e.importBeats(map, [90, 91], [])).toThrow(/fewer than two beats/);
  });

  it('is nowhere in free time', () => {
    expect(shown(e.setFree(map, 3, 1))).toEqual(['free 1-3']);
    expect(() => e.setFree(map, 1, 1.05)).toThrow(/stretch of some length/);
  });
});

describe('the edges of the map', () => {
  it('cut bars into lead-in and tail', () => {
    expect(text(setEdge(map, 'start', 1))).toBe('-2 4 4 4');
    expect(text(setEdge(map, 'start', 2))).toBe('4 4 4');
    expect(text(setEdge(map, 'end', 7))).toBe('4 4 4 -2');
    expect(text(setEdge(map, 'end', 6))).toBe('4 4 4');
    expect(text(setEdge(bars('- 4 4 -3'), 'end', 5))).toBe('- 4 4 -');
    expect(text(setEdge(bars('~ 4'), 'start', 1))).toBe('~2 4');
    expect(text(setEdge(bars('(1) 4'), 'end', 0.5))).toBe('-');
  });

  it('open again when they are lifted', () => {
    const cut = setEdge(setEdge(map, 'start', 2), 'end', 6);
    expect([cut.start, cut.end]).toEqual([2, 6]);
    const open = liftLocks(
      cut,
      cut.locks.map(({ id }) => id),
    );
    expect([open.start, open.end]).toEqual([0, 8]);
    expect(text(open)).toBe('-4 4 4 -4');
    expect(check(open)).toEqual([]);
  });

  it('keep typed chords that lie outside, out of sight', () => {
    const song = { ...bars('4:G 4:C'), chords: bars('4:G 4:C').chords.map((c) => ({ ...c, origin: 'user' as const })) };
    expect(setEdge(song, 'start', 2).chords.map(({ harte }) => harte)).toEqual(['G', 'C']);
    expect(setEdge(bars('4:G 4:C'), 'start', 2).chords.map(({ harte }) => harte)).toEqual(['C']);
  });

  it('cannot lie outside the recording or across each other', () => {
    expect(() => setEdge(map, 'start', 8)).toThrow(/cannot start at 0:08.00/);
    expect(() => setEdge(map, 'end', 8.5)).toThrow(/cannot end at 0:08.50/);
    expect(() => setEdge(map, 'end', 0)).toThrow(/cannot end/);
  });
});

describe('lifting', () => {
  it('takes the lock away and nothing else', () => {
    const song = addLocks(map, [
      { kind: 'downbeat', time: 1 },
      { kind: 'beat', time: 3 },
    ]);
    expect(shown(liftLock(song, 'L1'))).toEqual(['beat 3']);
    expect(liftLock(song, 'L9').locks).toEqual(song.locks);
  });

  it('finds the locks at a place', () => {
    const song = addLocks(map, [
      { kind: 'downbeat', time: 2 },
      { kind: 'tap', beats: [4, 4.5, 5], downbeats: [] },
      { kind: 'meter', from: 0, to: 2, meter: COMMON_TIME },
      { kind: 'no-beat', time: 2.25 },
    ]);
    expect(locksAt(song, 2)).toEqual(['L1']);
    expect(locksAt(song, 4.2)).toEqual(['L2']);
    expect(locksAt(song, 1)).toEqual(['L3']);
    expect(locksAt(song, 2.3)).toEqual(['L4']);
  });
});
