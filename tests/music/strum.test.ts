import { describe, expect, it } from 'vitest';
import { parseStrum, strokesOf, strumArrows, strumFault, strumText, type Strum } from '../../src/music/strum.js';

const EIGHTHS: Strum = { parts: 2, strokes: 'd-du-udu' };
const brief = (strum: Strum, beats: number, changes?: number[]) =>
  strokesOf(strum, beats, changes)
    .map(({ beat, stroke }) => `${beat}${stroke}`)
    .join(' ');

describe('a strum pattern', () => {
  it('fills a bar of its own length, and one of twice its length twice', () => {
    expect(brief(EIGHTHS, 4)).toBe('0d 1d 1.5u 2.5u 3d 3.5u');
    expect(brief({ parts: 1, strokes: 'dx' }, 4)).toBe('0d 1x 2d 3x');
  });

  it('gives a bar of another length a down on each beat', () => {
    expect(brief(EIGHTHS, 2)).toBe('0D 1d');
    expect(brief(EIGHTHS, 3.5)).toBe('0D 1d 2d 3d');
    expect(brief(EIGHTHS, 5)).toBe('0D 1d 2d 3d 4d');
  });

  it('strikes a chord that begins between its strokes', () => {
    expect(brief(EIGHTHS, 4, [0, 2])).toBe('0d 1d 1.5u 2d 2.5u 3d 3.5u');
  });

  it.each([
    ['d du -u du', 4, EIGHTHS],
    ['D - D U - U D U', 4, EIGHTHS],
    ['↓· ↓↑ ·↑ ↓↑', 4, EIGHTHS],
    ['D d d d', 4, { parts: 1, strokes: 'Dddd' }],
    ['d-u d-u d-u', 3, { parts: 3, strokes: 'd-ud-ud-u' }],
    ['dudu', 4, { parts: 1, strokes: 'dudu' }],
    ['ddudu', 3, { parts: 2, strokes: 'ddudu-' }],
  ] as const)('is read from %s', (text, beats, strum) => {
    expect(parseStrum(text, beats)).toEqual(strum);
  });

  it('is written as it is read', () => {
    expect(strumText(EIGHTHS)).toBe('d- du -u du');
    expect(parseStrum(strumText(EIGHTHS), 4)).toEqual(EIGHTHS);
    expect(strumArrows(EIGHTHS)).toBe('↓· ↓↑ ·↑ ↓↑');
  });

  it('is refused with a sentence when it is none', () => {
    expect(() => parseStrum('dz du', 2)).toThrow(/"z" is no stroke/);
    expect(() => parseStrum('', 4)).toThrow(/write one group/);
    expect(strumFault({ parts: 2, strokes: '' })).toMatch(/one stroke at least/);
  });
});
