import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeAt, stretchToPlay } from '../../src/audio/schedule.js';

describe('the stretch to play', () => {
  it('ends with the recording when no end is given', () => {
    expect(stretchToPlay(3, undefined, 10)).toEqual({ from: 3, until: 10 });
  });

  it('is clipped to the recording and never runs backwards', () => {
    expect(stretchToPlay(-1, 99, 10)).toEqual({ from: 0, until: 10 });
    expect(stretchToPlay(12, 5, 10)).toEqual({ from: 10, until: 10 });
    expect(stretchToPlay(6, 5, 10)).toEqual({ from: 6, until: 6 });
  });

  it('refuses what is not a time', () => {
    expect(() => stretchToPlay(Number.NaN, undefined, 10)).toThrow(/found from NaN/);
  });
});

describe('the place in a schedule', () => {
  const schedule = [
    { from: 5, until: 7 },
    { from: 1, until: 2 },
  ];

  it.each([
    [-1, 5],
    [0, 5],
    [1.5, 6.5],
    [2, 1],
    [2.25, 1.25],
    [3, 2],
    [50, 2],
  ])('after %f s is %f s', (elapsed, place) => expect(placeAt(schedule, elapsed)).toBeCloseTo(place, 12));

  it('moves as fast as the clock inside a stretch', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1.9, noNaN: true }),
        fc.double({ min: 0, max: 0.09, noNaN: true }),
        (t, d) => {
          expect(placeAt(schedule, t + d) - placeAt(schedule, t)).toBeCloseTo(d, 9);
        },
      ),
    );
  });
});
