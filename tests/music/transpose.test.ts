import { describe, expect, it } from 'vitest';
import { transposeChord, transposeKey } from '../../src/music/transpose.js';

describe('transposing', () => {
  // Common practice, no source: with a capo on the second fret the shapes of G, C, D sound as A, D, E.
  it('moves a chord with its kind and its bass', () => {
    const key = { tonic: 'A', mode: 'major' } as const;
    expect(['A', 'D', 'E:7', 'F#:min', 'A:maj/3', 'N'].map((c) => transposeChord(c, -2, key))).toEqual([
      'G',
      'C',
      'D:7',
      'E:min',
      'G:maj/3',
      'N',
    ]);
    expect(transposeKey(key, -2)).toEqual({ tonic: 'G', mode: 'major' });
  });

  it('spells it in the key it comes to', () => {
    expect(transposeChord('Bb', -1, { tonic: 'F', mode: 'major' })).toBe('A');
    expect(transposeChord('Ab', -1, { tonic: 'Eb', mode: 'major' })).toBe('G');
    expect(transposeChord('B', -3, { tonic: 'F#', mode: 'major' })).toBe('Ab');
  });

  it('leaves what is no chord as it is', () => {
    expect(transposeChord('G7alt?', -3)).toBe('G7alt?');
  });
});
