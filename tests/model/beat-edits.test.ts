import { describe, expect, it } from 'vitest';
import * as b from '../../src/model/edits/bars.js';
import * as e from '../../src/model/edits/beats.js';
import { checkLocks } from '../../src/model/invariants.js';
import { barsOf } from '../../src/model/map-queries.js';
import { bars, text } from '../support/notation.js';
import { shownLocks } from '../support/shown-locks.js';

const map = bars('4 4 4 4');

describe('a beat', () => {
  it('moves with all that stands on it', () => {
    const song = b.lockBar(bars('Verse: 4 | Chorus: 4:G 4'), 1);
    const moved = e.moveBeat(song, 2, 2.2);
    expect(barsOf(moved).map((bar) => bar.start)).toEqual([0, 2.2, 4]);
    expect(moved.sections.map(({ start }) => start)).toEqual([0, 2.2]);
    expect(moved.chords.map(({ time }) => time)).toEqual([2.2]);
    expect(shownLocks(moved)).toEqual(['bar-length 2.2: 4/4', 'beat 2.2']);
    expect(checkLocks(moved)).toEqual([]);
  });

  it('at the start of the map leaves a lead-in behind', () => {
    expect(text(e.moveBeat(bars('4'), 0, 0.25), 0.25)).toBe('- 4');
  });

  it('takes a tapped beat with it', () => {
    const tapped = e.tapBeats(map, [0, 0.5, 1, 1.5, 2], [0, 2]);
    expect(shownLocks(e.moveBeat(tapped, 2, 2.1))).toEqual(['tap 0 0.5 1 1.5 2.1 | 0 2.1', 'beat 2.1']);
  });

  it('stays between its neighbours', () => {
    expect(() => e.moveBeat(map, 2, 2.5)).toThrow(/only as far as the beats beside it/);
    expect(() => e.moveBeat(map, 2, 1.5)).toThrow(/only as far as the beats beside it/);
    expect(() => e.moveBeat(map, 2.2, 2.3)).toThrow(/no beat at 0:02.20/);
    expect(() => e.moveBeat(bars('4 ~ 4'), 1.5, 2.1)).toThrow(/only as far/);
  });

  it('is added inside the map only', () => {
    expect(shownLocks(e.addBeat(map, 1.25))).toEqual(['beat 1.25']);
    expect(() => e.addBeat(map, 9)).toThrow(/outside the map/);
  });

  it('tapped beats are sorted, thinned out and cut to the map', () => {
    expect(shownLocks(e.tapBeats(map, [1, 0.5, 0.55, 99, -1], [0.51]))).toEqual(['tap 0.5 1 | 0.5']);
    expect(() => e.tapBeats(map, [1], [])).toThrow(/Tap at least two beats/);
    expect(() => e.tapBeats(map, [90, 91], [])).toThrow(/Tap at least two beats/);
  });

  it('is nowhere in free time', () => {
    expect(shownLocks(e.setFree(map, 3, 1))).toEqual(['free 1-3']);
    expect(() => e.setFree(map, 1, 1.05)).toThrow(/stretch of some length/);
  });
});
