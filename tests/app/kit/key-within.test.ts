import { describe, expect, it } from 'vitest';
import { keyWithin } from '../../../src/app/kit/key-within.js';

/** What stands before, in and after the key. */
const parts = (sentence: (key: string) => string, key: string): readonly unknown[] => keyWithin(sentence, key).values;

describe('a key in a sentence', () => {
  it('is set as one where it stands, at either end too', () => {
    expect(parts((key) => `${key} for the next.`, 'N')).toEqual(['', 'N', ' for the next.']);
    expect(parts((key) => `Press ${key}`, 'F6')).toEqual(['Press ', 'F6', '']);
  });

  it('is not mistaken for a letter of another word, as a translation may have it before the key', () => {
    expect(parts((key) => `Now the Next: ${key}.`, 'N')).toEqual(['Now the Next: ', 'N', '.']);
  });
});
