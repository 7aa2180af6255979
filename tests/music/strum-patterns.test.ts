import { describe, expect, it } from 'vitest';
import { countedAs, emptyStrum, usualStrums, withParts, withStroke } from '../../src/music/strum-patterns.js';
import { parseStrum, strokesOf, strumBeats, strumFault, strumText } from '../../src/music/strum.js';

describe('patterns to start from', () => {
  it.each([
    [1, false],
    [2, false],
    [2, true],
    [3, false],
    [3.5, false],
    [4, false],
    [4, true],
    [5, false],
    [12, false],
  ])('for %f beats (compound: %s) are sound, fill the bar, and have names of their own', (beats, compound) => {
    const usual = usualStrums(beats, compound);
    expect(usual.length).toBeGreaterThan(0);
    expect(new Set(usual.map(({ name }) => name)).size).toBe(usual.length);
    for (const { strum } of usual) {
      expect(strumFault(strum)).toBeUndefined();
      expect(strumBeats(strum)).toBeCloseTo(beats);
      expect(strokesOf(strum, beats).length).toBeGreaterThan(0);
      // What is shown as text is read as the same pattern.
      expect(parseStrum(strumText(strum), beats)).toEqual(strum);
    }
  });
});

describe('changing a pattern', () => {
  const strum = { parts: 2, strokes: 'd-du-udu' } as const;

  it('with more places keeps every stroke, with fewer those that still have a place', () => {
    expect(strumText(withParts(strum, 4))).toBe('d--- d-u- --u- d-u-');
    expect(withParts(withParts(strum, 4), 2)).toEqual(strum);
    expect(strumText(withParts(strum, 1))).toBe('d d - d');
    expect(strumText(withParts(strum, 3))).toBe('d-- d-- --- d--');
  });

  it('puts a stroke at one place', () => {
    expect(strumText(withStroke(strum, 4, 'x'))).toBe('d- du xu du');
    expect(emptyStrum(3.5, 2).strokes).toBe('-------');
  });

  it('counts places as players do', () => {
    expect([0, 1, 2, 3, 4].map((place) => countedAs(4, place))).toEqual(['1', 'e', '&', 'a', '2']);
    expect([0, 1, 2].map((place) => countedAs(2, place))).toEqual(['1', '&', '2']);
  });
});
