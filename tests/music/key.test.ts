import { describe, expect, it } from 'vitest';
import { respellChord, signatureOf, spell, tonicName, type KeyLike } from '../../src/music/key.js';
import { degreeOf, fifthsName, fifthsPosition, noteAbove, pitchClassOf } from '../../src/music/pitch.js';

const TWELVE = Array.from({ length: 12 }, (_, i) => i);
const major = (tonic: string): KeyLike => ({ tonic, mode: 'major' });
const minor = (tonic: string): KeyLike => ({ tonic, mode: 'minor' });

describe('spelling', () => {
  it('names every pitch class once in every key, and its own scale with the signature', () => {
    for (const mode of ['major', 'minor'] as const) {
      for (const pitch of TWELVE) {
        const key = { tonic: tonicName(pitch, mode), mode };
        const names = TWELVE.map((p) => spell(p, key));
        expect(names.map(pitchClassOf)).toEqual(TWELVE);
        const steps = mode === 'major' ? [0, 2, 4, 5, 7, 9, 11] : [0, 2, 3, 5, 7, 8, 10];
        const scale = steps.map((s) => spell((pitch + s) % 12, key));
        expect(new Set(scale.map((n) => n.charAt(0))).size).toBe(7);
        const signs = scale.map((n) => fifthsPosition(n)).sort((a, b) => a - b);
        expect(signs[0]).toBe(signatureOf(key) - 1);
      }
    }
  });

  it('uses flats in flat keys and sharps in sharp keys', () => {
    expect(TWELVE.map((p) => spell(p, major('Ab')))).toEqual([
      'C',
      'Db',
      'D',
      'Eb',
      'E',
      'F',
      'Gb',
      'G',
      'Ab',
      'A',
      'Bb',
      'B',
    ]);
    expect(TWELVE.map((p) => spell(p, major('D')))).toEqual([
      'C',
      'C#',
      'D',
      'Eb',
      'E',
      'F',
      'F#',
      'G',
      'G#',
      'A',
      'Bb',
      'B',
    ]);
    expect(spell(8, minor('A'))).toBe('G#');
    expect(spell(10, minor('D'))).toBe('Bb');
  });

  it('names tonics with the fewest accidentals', () => {
    expect(TWELVE.map((p) => tonicName(p, 'major'))).toEqual([
      'C',
      'Db',
      'D',
      'Eb',
      'E',
      'F',
      'F#',
      'G',
      'Ab',
      'A',
      'Bb',
      'B',
    ]);
    expect(TWELVE.map((p) => tonicName(p, 'minor'))).toEqual([
      'C',
      'C#',
      'D',
      'Eb',
      'E',
      'F',
      'F#',
      'G',
      'G#',
      'A',
      'Bb',
      'B',
    ]);
  });

  it('renames a chord as the key would', () => {
    expect(respellChord('A#:min7/b3', major('F'))).toBe('Bb:min7/b3');
    expect(respellChord('Db', major('A'))).toBe('C#');
    expect(respellChord('N', major('A'))).toBe('N');
  });
});

describe('degrees and notes', () => {
  it('go back and forth', () => {
    for (const root of ['C', 'Db', 'F#', 'Bb', 'E', 'Gb']) {
      for (const degree of ['b2', '2', 'b3', '3', '4', 'b5', '5', 'b6', '6', 'b7', '7']) {
        const note = noteAbove(root, degree);
        expect(
          (pitchClassOf(note) -
            pitchClassOf(degreeOf(root, note) === degree ? note : noteAbove(root, degreeOf(root, note)))) %
            12,
        ).toBe(0);
      }
    }
    expect(noteAbove('D', '3')).toBe('F#');
    expect(noteAbove('Eb', 'b7')).toBe('Db');
    expect(degreeOf('F', 'A')).toBe('3');
    expect(degreeOf('C', 'F#')).toBe('#4');
  });

  it('walk the line of fifths', () => {
    expect([-6, -1, 0, 5, 6, 10].map(fifthsName)).toEqual(['Gb', 'F', 'C', 'B', 'F#', 'A#']);
    for (let i = -10; i <= 10; i++) expect(fifthsPosition(fifthsName(i))).toBe(i);
  });
});
