import { describe, expect, it } from 'vitest';
import { easiestKeys } from '../../../../src/music/easiest-key.js';
import { TUNINGS } from '../../../../src/music/tuning.js';
import { keyReasons, keyTitle, transposition } from '../../../../src/app/chords/shapes/key-words.js';

const key = { tonic: 'D', mode: 'major' } as const;
const chords = ['D', 'B:min', 'G', 'A'].map((harte) => ({ harte, seconds: 2 }));
const choices = easiestKeys(chords, TUNINGS[0]!, key);
const at = (shift: number) => choices.find((each) => each.shift === shift)!;

describe('a key in words', () => {
  it('names its key and its chords', () => {
    expect(keyTitle(at(0), key)).toBe('Shapes of D major: D, Bm, G, A');
    expect(keyTitle(at(-2), key)).toBe('Shapes of C major: C, Am, F, G');
    expect(keyTitle(at(-4), { tonic: 'D', mode: 'major' })).toBe('Shapes of B♭ major: B♭, Gm, E♭, F');
    expect(keyTitle(at(-2), undefined)).toBe('C, Am, F, G');
  });

  it('says why it is easy, beside the recording’s own', () => {
    expect(keyReasons(at(0), at(0))).toMatch(/^a barre in Bm; about \d½? fingers? moves? at a change$/);
    expect(keyReasons(at(-2), at(0))).toMatch(/^easier; no barre; about/);
    expect(keyReasons({ ...at(-2), missing: ['C:13'], effort: 99 }, at(0))).toMatch(
      /^harder; no shape found for C13; /,
    );
  });

  it('is reached the shorter way without a capo', () => {
    expect([0, -3, -6, -7, -11].map((shift) => transposition({ ...at(0), shift }))).toEqual([0, -3, -6, 5, 1]);
  });
});
