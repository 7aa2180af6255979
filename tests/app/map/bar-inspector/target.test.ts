import { describe, expect, it } from 'vitest';
import { parseMeter } from '../../../../src/music/meter.js';
import { offeredLengths, targetOf } from '../../../../src/app/map/bar-inspector/target.js';
import { bars } from '../../../support/notation.js';

describe('what the bar panel is about', () => {
  const map = bars('-2 Verse: (1) 4 4 2 4 | Chorus: 4 4 -4');

  it('is the bar and beat under the cursor', () => {
    // 1 s of lead-in, half a second of pickup: bar 1 begins at 1.5 s, bar 3 (of 2 beats) at 5.5 s.
    const target = targetOf(map, 6.1, undefined);
    expect(target).toMatchObject({ index: 3, beat: 1, beatStart: 6, beatEnd: 6.5, title: 'Bar 3, beat 2' });
    expect(target?.traits).toEqual(['irregular']);
    expect(target?.section).toBe('A Verse');
    expect(target?.isDownbeat).toBe(false);
  });

  it('is the nearest bar where none sounds', () => {
    expect(targetOf(map, 0, undefined)?.title).toBe('Pickup, beat 1');
    expect(targetOf(map, 99, undefined)?.title).toBe('Bar 6, beat 4');
    expect(targetOf(bars('-8'), 1, undefined)).toBeUndefined();
  });

  it('never takes the start of a pickup for a beat 1', () => {
    expect(targetOf(map, 1, undefined)?.isDownbeat).toBe(false);
    expect(targetOf(map, 1.5, undefined)?.isDownbeat).toBe(true);
  });

  it('reaches over the selection only when the bar is in it', () => {
    expect(targetOf(map, 6, { first: 2, last: 4 })?.range).toEqual({ first: 2, last: 4, from: 3.5, to: 8.5 });
    expect(targetOf(map, 2, { first: 2, last: 4 })?.range).toEqual({ first: 1, last: 1, from: 1.5, to: 3.5 });
  });

  it('counts a bar in beats of the prevailing time signature', () => {
    const mixed = bars('4 7/8(2+2+3) 3.5 4', { prevailing: '4/4' });
    expect([1, 2.5, 6].map((time) => targetOf(mixed, time, undefined)?.beats)).toEqual([4, 3.5, 3.5]);
  });

  it('lists the locks of the bar in words', () => {
    const locked = {
      ...map,
      locks: [
        { id: 'L1', kind: 'bar-length', time: 5.5, meter: parseMeter('2/4') },
        { id: 'L2', kind: 'downbeat', time: 1.5 },
      ],
    } as const;
    expect(targetOf(locked, 5.5, undefined)?.locks).toEqual([{ id: 'L1', text: 'bar 3 has 2 beats' }]);
    expect(targetOf(locked, 5.5, undefined)?.traits).toEqual(['irregular', 'locked']);
  });

  it('offers the usual lengths and the own one', () => {
    expect(offeredLengths(4)).toEqual([1, 2, 3, 4, 5, 6, 7]);
    expect(offeredLengths(3.5)).toEqual([1, 2, 3, 3.5, 4, 5, 6, 7]);
    expect(offeredLengths(12)).toEqual([1, 2, 3, 4, 5, 6, 7, 12]);
  });
});
