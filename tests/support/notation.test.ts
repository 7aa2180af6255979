import { describe, expect, it } from 'vitest';
import { check } from '../../src/model/invariants.js';
import { bars, text } from './notation.js';

describe('the notation for maps', () => {
  const lines = [
    '4 4 2 4 | 4 4',
    '- Verse: (1) 4 4:G,C@3 2 | Chorus: 4 7/8(2+2+3) ~3 3.5 | 4 -2',
    'Verse: 4:A:min7 4:C:maj/3,G:7(b9,13)@2.5 | Verse: 4',
    '6/8 6/8 | 9/8',
    '~ 4 4 ~2 4',
    '3.5 0.5 1',
  ];
  it.each(lines)('reads and writes %s', (line) => {
    const map = bars(line);
    expect(check(map)).toEqual([]);
    expect(text(map)).toBe(line);
  });

  it('gives sections of one name one letter', () => {
    expect(bars('Verse: 4 | Chorus: 4 | Verse: 4 | 4').sections.map((s) => s.letter)).toEqual(['A', 'B', 'A', 'C']);
  });
});
