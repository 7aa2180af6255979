import { readFileSync } from 'node:fs';
import { create, type Font } from 'fontkit';
import { describe, expect, it } from 'vitest';
import { MORE_LETTERS } from '../../../src/export/chart/more-widths.js';
import type { Face } from '../../../src/export/chart/face.js';
import { shortened, textWidth, wrapped } from '../../../src/export/chart/text-widths.js';

const FILES: Readonly<Record<Face, readonly [family: string, weight: number]>> = {
  serif: ['source-serif-4', 400],
  serifBold: ['source-serif-4', 600],
  sans: ['source-sans-3', 400],
  sansBold: ['source-sans-3', 600],
};
/** Latin with its accents, Greek and Cyrillic, as the languages of today are written in them. */
const WRITTEN =
  /[\u0020-\u007e\u00a0-\u0148\u014a-\u017f\u01a0\u01a1\u01af\u01b0\u0218-\u021b\u0386-\u03ce\u0400-\u045f\u0490\u0491\u1e80-\u1e85\u1ea0-\u1ef9\u2013-\u201e\u2022\u2026\u2032\u2033\u2039\u203a\u20ac\u2116\u2212]/;

function fontOf(face: Face, subset: string): Font {
  const [family, weight] = FILES[face];
  const file = `node_modules/@fontsource/${family}/files/${family}-${subset}-${weight}-normal.woff`;
  return create(readFileSync(file)) as Font;
}

describe('text widths', () => {
  it.each(Object.keys(FILES) as Face[])('are those of the font %s, read by fontkit', (face) => {
    let compared = 0;
    for (const subset of ['latin', 'latin-ext', 'vietnamese', 'greek', 'cyrillic']) {
      const font = fontOf(face, subset);
      for (const code of font.characterSet) {
        const character = String.fromCodePoint(code);
        if (!WRITTEN.test(character)) continue;
        const { advanceWidth } = font.glyphForCodePoint(code);
        const off = Math.abs(textWidth(character, 1000, face) - (1000 * advanceWidth) / font.unitsPerEm);
        // What is not in the tables is as wide as without its accents, but for a hair in a few letters.
        const listed = code <= 0xff || MORE_LETTERS.includes(character) || character.normalize('NFD') === character;
        expect(off, character).toBeLessThan(listed ? 0.6 : 4.6);
        compared++;
      }
    }
    expect(compared).toBeGreaterThan(600);
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
