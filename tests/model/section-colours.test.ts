import { describe, expect, it } from 'vitest';
import { SECTION_COLOURS, sectionColour } from '../../src/model/section-colours.js';

describe('section colours', () => {
  const letters = Array.from({ length: 21 }, (_, i) => String.fromCharCode(65 + i));

  // Okabe and Ito, "Color Universal Design", 2008: the palette without black, as published in hexadecimal.
  it('are those of the palette, each once, for A to G', () => {
    expect([...SECTION_COLOURS].sort()).toEqual(
      ['#0072b2', '#009e73', '#56b4e9', '#cc79a7', '#d55e00', '#e69f00', '#f0e442'].sort(),
    );
    expect(letters.slice(0, 7).map(sectionColour)).toEqual([...SECTION_COLOURS]);
  });

  it('differ for the letters up to U', () => {
    expect(new Set(letters.map(sectionColour)).size).toBe(21);
  });

  it('are darker, then lighter tones of the same in the second and the third round', () => {
    expect(sectionColour('H')).toBe('#00476e');
    expect(sectionColour('O')).toBe('#73b1d5');
  });

  it('go on behind Z, whatever the letter looks like', () => {
    expect(sectionColour('AA')).toBe(sectionColour('F'));
    expect(sectionColour('b2')).toBe(sectionColour('B'));
    expect(sectionColour('')).toBe(sectionColour('A'));
  });
});
