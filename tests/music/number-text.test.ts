import { afterEach, describe, expect, it } from 'vitest';
import { numberText, writeNumbersAs } from '../../src/music/number-text.js';

describe('a number for people', () => {
  afterEach(() => writeNumbersAs('en'));

  it('has no more places than asked for and no zeros at its end', () => {
    expect([2, 2.5, 2.504, 1 / 3, 12.996].map((value) => numberText(value, 2))).toEqual([
      '2',
      '2.5',
      '2.5',
      '0.33',
      '13',
    ]);
    expect(numberText(119.6, 0)).toBe('120');
  });

  it('has as many places as asked for at least', () => {
    expect(numberText(4, 1, 1)).toBe('4.0');
    expect(numberText(-0.5, 2, 2)).toBe('-0.50');
  });

  it('has no sign where it is rounded to nothing, and no grouping', () => {
    expect(numberText(-0.001, 2)).toBe('0');
    expect(numberText(-0.001, 2, 2)).toBe('0.00');
    expect(numberText(44100, 0)).toBe('44100');
  });

  it('is written as in the language that was set, also after numbers in another', () => {
    expect(numberText(2.5, 2)).toBe('2.5');
    writeNumbersAs('de-DE');
    expect([numberText(2.5, 2), numberText(4, 1, 1), numberText(1234567, 0)]).toEqual(['2,5', '4,0', '1234567']);
    writeNumbersAs('en-XA');
    expect(numberText(2.5, 2)).toBe('2.5');
  });
});
