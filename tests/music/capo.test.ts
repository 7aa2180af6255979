import { describe, expect, it } from 'vitest';
import { shapeBehindCapo, shapeKey } from '../../src/music/capo.js';

describe('shapes behind a capo', () => {
  // Common practice, no source: with a capo on the second fret the shapes of G, C, D sound as A, D, E.
  it('lie as many semitones lower as the capo is frets up', () => {
    const key = { tonic: 'A', mode: 'major' } as const;
    expect(
      ['A', 'D', 'E:7', 'F#:min', 'A/3', 'N'].map((c) => shapeBehindCapo(c.replace('A/3', 'A:maj/3'), 2, key)),
    ).toEqual(['G', 'C', 'D:7', 'E:min', 'G:maj/3', 'N']);
    expect(shapeKey(key, 2)).toEqual({ tonic: 'G', mode: 'major' });
  });

  it('are spelled in the key of the shapes', () => {
    expect(shapeBehindCapo('Bb', 1, { tonic: 'F', mode: 'major' })).toBe('A');
    expect(shapeBehindCapo('Ab', 1, { tonic: 'Eb', mode: 'major' })).toBe('G');
    expect(shapeBehindCapo('B', 3, { tonic: 'F#', mode: 'major' })).toBe('Ab');
  });

  it('leave what is no chord, and know no fret 10', () => {
    expect(shapeBehindCapo('G7alt?', 3)).toBe('G7alt?');
    expect(() => shapeBehindCapo('G', 10)).toThrow(/write 0 to 9/);
  });
});
