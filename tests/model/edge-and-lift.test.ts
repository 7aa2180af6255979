import { describe, expect, it } from 'vitest';
import { addLocks } from '../../src/model/edits/add-locks.js';
import { setEdge } from '../../src/model/edits/edge.js';
import { liftLock, liftLocks, locksAt } from '../../src/model/edits/lift.js';
import { check } from '../../src/model/invariants.js';
import { COMMON_TIME } from '../../src/music/meter.js';
import { bars, text } from '../support/notation.js';
import { shownLocks } from '../support/shown-locks.js';

const map = bars('4 4 4 4');

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
    expect(shownLocks(liftLock(song, 'L1'))).toEqual(['beat 3']);
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
