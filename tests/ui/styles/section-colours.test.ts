import { describe, expect, it } from 'vitest';
import { SECTION_COLOURS, sectionColour } from '../../../src/ui/styles/section-colours.js';

describe('colours of sections', () => {
  const letters = Array.from({ length: 21 }, (_, i) => String.fromCharCode(65 + i));

  it('are the published ones for A to G', () => {
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
    expect(sectionColour('b')).toBe(sectionColour('B'));
    expect(sectionColour('?')).toBe(sectionColour('A'));
  });
});
