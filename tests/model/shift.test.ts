import { describe, expect, it } from 'vitest';
import { lockBar, setDownbeat } from '../../src/model/edits/bars.js';
import { describeShift, planShift, shiftBarLines } from '../../src/model/edits/shift.js';
import type { SongMap } from '../../src/model/song-map.js';
import { bars } from '../support/notation.js';

function starts(map: SongMap): readonly number[] {
  const lock = map.locks[map.locks.length - 1];
  return lock?.kind === 'bar-lines' ? lock.starts : [];
}

describe('bar lines a beat earlier or later', () => {
  it('from a bar on move to the end', () => {
    expect(planShift(bars('4 4 4 4'), 1, -1)).toEqual({ starts: [1.5, 3.5, 5.5], first: 1, last: 3, until: 'end' });
    expect(planShift(bars('4 4 4 4'), 1, 1)).toEqual({ starts: [2.5, 4.5, 6.5], first: 1, last: 3, until: 'end' });
  });

  it('move up to and with the next irregular bar, which takes up the difference', () => {
    // The song slipped by a beat at bar 2 and back in the bar of 5.
    expect(planShift(bars('4 3 4 4 5 4 4'), 2, 1)).toEqual({
      starts: [4, 6, 8],
      first: 2,
      last: 4,
      until: 'irregular',
      closing: 10,
    });
  });

  it('lock where the bar that takes up the difference ends, so that no later bar moves', () => {
    expect(starts(shiftBarLines(bars('4 3 4 4 5 4 4'), 2, 1))).toEqual([4, 6, 8, 10]);
    // One beat earlier a bar of two has three; the line behind it is where it was.
    expect(starts(shiftBarLines(bars('4 4 4 2 4 4'), 1, -1))).toEqual([1.5, 3.5, 5.5, 7]);
    expect(starts(shiftBarLines(bars('4 4 4 2'), 1, -1))).toEqual([1.5, 3.5, 5.5]);
    expect(starts(shiftBarLines(bars('4 4 2 ~ 4'), 1, -1))).toEqual([1.5, 3.5]);
  });

  it('moved on to the end leave the lines before them where the first move put them', () => {
    const once = shiftBarLines(bars('4 4 4 2 4 4'), 1, -1);
    const solved = { ...bars('3 4 4 3 4 4', { prevailing: '4/4' }), locks: once.locks };
    const twice = shiftBarLines(solved, 4, 1);
    expect(twice.locks.map((lock) => (lock.kind === 'bar-lines' ? lock.starts : []))).toEqual([
      [1.5, 3.5, 5.5],
      [7.5, 9.5],
    ]);
  });

  it('start at an irregular bar without stopping there', () => {
    expect(planShift(bars('4 3 4 4'), 1, 1)).toMatchObject({ first: 1, last: 3, until: 'end' });
  });

  it('stop before a bar whose start is fixed', () => {
    expect(planShift(setDownbeat(bars('4 4 4 4'), 4), 1, 1)).toMatchObject({ starts: [2.5], last: 1, until: 'locked' });
    expect(planShift(lockBar(bars('4 4 4 4'), 3), 1, 1)).toMatchObject({ last: 2, until: 'locked' });
  });

  it('stop before free time', () => {
    expect(planShift(bars('4 4 ~ 4 4'), 0, 1)).toMatchObject({ last: 1, until: 'free' });
  });

  it('everywhere keep the lengths of all bars and give a pickup at the front', () => {
    expect(planShift(bars('4 3 4 4'), undefined, -1).starts).toEqual([1.5, 3, 5]);
    expect(planShift(bars('4 3 4 4'), undefined, 1).starts).toEqual([0.5, 2.5, 4, 6]);
  });

  it('everywhere use up a pickup of one beat, or lengthen it', () => {
    expect(planShift(bars('(1) 4 4'), undefined, -1).starts).toEqual([0, 2]);
    expect(planShift(bars('(1) 4 4'), undefined, 1).starts).toEqual([1, 3]);
  });

  it('everywhere give a pickup after free time too, or use it up', () => {
    expect(planShift(bars('4 4 ~4 4 4'), undefined, 1).starts).toEqual([0.5, 2.5, 6.5, 8.5]);
    expect(planShift(bars('4 4 ~4 4 4'), undefined, -1).starts).toEqual([1.5, 7.5]);
    expect(planShift(bars('4 4 ~4 (1) 4 4'), undefined, -1).starts).toEqual([1.5, 6, 8]);
    expect(planShift(bars('4 4 ~4 (1) 4 4'), 2, 1)).toMatchObject({ starts: [7, 9], first: 3 });
  });

  it('from the pickup mean from the first whole bar', () => {
    expect(planShift(bars('(1) 4 4'), 0, 1).first).toBe(1);
  });

  it('drop a line that has no place left', () => {
    expect(planShift(bars('4 1'), 0, 1).starts).toEqual([0.5]);
    expect(planShift(bars('4 1 4 1', { prevailing: '4/4' }), 0, 1)).toMatchObject({
      starts: [0.5],
      last: 1,
      closing: 2.5,
    });
    expect(() => planShift(bars('1'), 0, 1)).toThrow(/No bar line can move/);
    expect(() => planShift(bars('~'), undefined, 1)).toThrow(/No bar line can move/);
  });

  it('become one lock, and moving them again replaces it', () => {
    const once = shiftBarLines(bars('4 4 4 4'), 1, -1);
    expect(once.locks.length).toBe(1);
    expect(starts(once)).toEqual([1.5, 3.5, 5.5]);
    const twice = shiftBarLines(once, 2, 1);
    expect(twice.locks.map((lock) => (lock.kind === 'bar-lines' ? lock.starts : []))).toEqual([
      [1.5, 3.5],
      [4.5, 6.5],
    ]);
  });

  it('leave nothing behind where they were moved to before', () => {
    // As it is solved after the bars of '4 4 4 4' from the second on came a beat earlier.
    const solved = bars('3 4 4 5', { prevailing: '4/4' });
    const { locks } = shiftBarLines(bars('4 4 4 4'), 1, -1);
    const back = shiftBarLines({ ...solved, locks }, 1, 1);
    expect(back.locks.map((lock) => (lock.kind === 'bar-lines' ? lock.starts : []))).toEqual([[2, 4, 6]]);
  });

  it('are told in words', () => {
    const say = (map: SongMap, from: number | undefined, by: 1 | -1): string => {
      return describeShift(map, planShift(map, from, by), by);
    };
    expect(say(bars('4 4 4'), 1, -1)).toBe('bars 2 to 3 start one beat earlier, to the end');
    expect(say(bars('4 3 4 5 4'), 2, 1)).toBe(
      'bars 3 to 4 start one beat later, up to bar 4, which takes up the difference',
    );
    expect(say(setDownbeat(bars('4 4 4'), 4), 1, 1)).toBe(
      'bar 2 starts one beat later, up to bar 3, whose start is fixed',
    );
    expect(say(bars('4 ~ 4'), 0, 1)).toBe('bar 1 starts one beat later, up to the free time');
  });
});
