import { describe, expect, it } from 'vitest';
import { cellWords, fitWords, strumTargetOf } from '../../../../src/app/chords/strum/strum-words.js';
import { bars } from '../../../support/notation.js';

const map = bars('Verse: 4 4 4 2 | Chorus: 3 3 4 | Verse: 4 4 8');

describe('the section whose strum is meant', () => {
  it('stands for all passes of its letter, with the length most of their bars have', () => {
    const verse = strumTargetOf(map, 0)!;
    expect(verse.section.name).toBe('Verse');
    expect(verse.passes).toBe(2);
    expect(verse.beats).toBe(4);
    expect(verse.lengths).toEqual([4, 4, 4, 2, 4, 4, 8]);
    const chorus = strumTargetOf(map, map.sections[1]!.start)!;
    expect([chorus.passes, chorus.beats, chorus.compound]).toEqual([1, 3, false]);
    expect(strumTargetOf(bars('6/8 6/8', { prevailing: '6/8' }), 0)).toMatchObject({ beats: 2, compound: true });
  });
});

describe('what is said of a pattern', () => {
  const verse = strumTargetOf(map, 0)!;

  it('names each place as it is counted', () => {
    const strum = { parts: 4, strokes: 'd-Du-x--' } as const;
    expect([0, 1, 2, 3, 5].map((place) => cellWords(strum, place))).toEqual([
      'beat 1: down',
      'beat 1 e: none',
      'beat 1 &: down, accented',
      'beat 1 a: up',
      'beat 2 e: muted',
    ]);
  });

  it('says which bars it does not fit', () => {
    expect(fitWords({ parts: 1, strokes: 'dddd' }, verse)).toBe(
      'One bar of another length has a down stroke on each beat.',
    );
    expect(fitWords({ parts: 2, strokes: 'dudu' }, verse)).toBe('It is played twice in a bar.');
    expect(fitWords({ parts: 1, strokes: 'ddd' }, verse)).toMatch(/^The pattern lasts 3 beats, the bars 4 beats: /);
    expect(fitWords({ parts: 1, strokes: 'd' }, { ...verse, lengths: [4, 4] })).toBe('It is played 4 times in a bar.');
  });
});
