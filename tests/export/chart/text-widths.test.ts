import { readFileSync } from 'node:fs';
import { create, type Font } from 'fontkit';
import { describe, expect, it } from 'vitest';
import { isBundled, shortened, textWidth, wrapped, type Face } from '../../../src/export/chart/text-widths.js';

const FILES: Readonly<Record<Face, string>> = {
  serif: 'source-serif-4/files/source-serif-4-latin-400-normal.woff2',
  serifBold: 'source-serif-4/files/source-serif-4-latin-600-normal.woff2',
  sans: 'source-sans-3/files/source-sans-3-latin-400-normal.woff2',
  sansBold: 'source-sans-3/files/source-sans-3-latin-600-normal.woff2',
};

describe('text widths', () => {
  it.each(Object.keys(FILES) as Face[])('are those of the font %s, read by fontkit', (face) => {
    const font = create(readFileSync(`node_modules/@fontsource/${FILES[face]}`)) as Font;
    let compared = 0;
    for (let code = 32; code < 0x2300; code++) {
      const character = String.fromCodePoint(code);
      if (!isBundled(character, face)) continue;
      const { advanceWidth } = font.glyphForCodePoint(code);
      expect(font.hasGlyphForCodePoint(code), character).toBe(true);
      expect(
        Math.abs(textWidth(character, 1000, face) - (1000 * advanceWidth) / font.unitsPerEm),
        character,
      ).toBeLessThan(0.6);
      compared++;
    }
    expect(compared).toBeGreaterThan(190);
  });

  it('shorten what is too long, between characters', () => {
    expect(shortened('Paper Lanterns', 1000, 10, 'serif')).toBe('Paper Lanterns');
    const short = shortened('🎸🎸🎸🎸🎸🎸', 40, 10, 'serif');
    expect(short).toMatch(/^🎸+…$/u);
    expect(textWidth(short, 10, 'serif')).toBeLessThanOrEqual(40);
  });

  it('wrap to lines no wider than asked, the last one shortened', () => {
    const lines = wrapped('a song with a name that goes on and on and on', 80, 10, 'serif', 2);
    expect(lines).toHaveLength(2);
    for (const line of lines) expect(textWidth(line, 10, 'serif')).toBeLessThanOrEqual(80);
    expect(lines[1]).toMatch(/…$/);
  });
});
