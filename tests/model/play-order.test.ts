import { describe, expect, it } from 'vitest';
import { barsStretch, sameStretch, stretchBars } from '../../src/model/play-order.js';
import { bars } from '../support/notation.js';

const map = bars('-2 Verse: (1) 4 2 | Chorus: 4 3.5 -');

describe('stretches', () => {
  it('give back the bars that they were made of', () => {
    for (const [first, last] of [
      [0, 0],
      [1, 2],
      [0, 4],
      [4, 4],
    ] as const) {
      expect(stretchBars(map, barsStretch(map, first, last)!)).toEqual({ first, last });
    }
    expect(stretchBars(map, { from: 100, until: 101 })).toBeUndefined();
  });

  it('are the same after a small correction of their bar lines, and not a beat further', () => {
    expect(sameStretch({ from: 1.5, until: 4.5 }, { from: 1.53, until: 4.47 })).toBe(true);
    expect(sameStretch({ from: 1.5, until: 4.5 }, { from: 1.5, until: 5 })).toBe(false);
    expect(sameStretch({ from: 1.5, until: 4.5 }, { from: 2, until: 4.5 })).toBe(false);
    expect(sameStretch({ from: 1.5, until: 4.5 }, undefined)).toBe(false);
  });
});
