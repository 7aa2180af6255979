import { describe, expect, it } from 'vitest';
import { clockText } from '../../../src/music/clock-text.js';
import { beatsText, placeText, sentence, songSentence, titleFromFileName } from '../../../src/app/kit/sentences.js';
import { mapOfBars } from '../../support/songs.js';

describe('what is said', () => {
  it.each([
    ['03 - lantern_road.mp3', 'Lantern Road'],
    ['kites-over-brennick.ogg', 'Kites over Brennick'],
    ['the-tarn-at-wendlow.mp3', 'The Tarn at Wendlow'],
    ['12. Harbour Waltz (take 2).flac', 'Harbour Waltz (take 2)'],
    ['C:\\music\\old song.wav', 'Old Song'],
    ["don't go.m4a", "Don't Go"],
    ['99.wav', '99'],
    ['1999 blues.wav', '1999 Blues'],
    ['.mp3', '.mp3'],
    ['ÖDE LAND.opus', 'ÖDE LAND'],
  ])('the title of %s is %s', (fileName, title) => {
    expect(titleFromFileName(fileName)).toBe(title);
  });

  it('a song in one sentence', () => {
    expect(songSentence(mapOfBars([4, 4, 4, 4]))).toBe('4 bars, 4/4, about 120 bpm; no bar in doubt');
    expect(songSentence(mapOfBars([4, 4, 2, 4], { beat: 0.6383 }))).toBe(
      '4 bars, 4/4, about 94 bpm; 1 bar of another length; no bar in doubt',
    );
    expect(songSentence(mapOfBars([]))).toMatch(/No steady beat was found/);
  });

  it('places, lengths and times as musicians say them', () => {
    const map = mapOfBars([4, 4]);
    expect(placeText(map, 3.6)).toBe('bar 2 beat 2');
    expect(placeText(map, 0.2)).toBe('0:00');
    expect([1, 2, 3.5, 0.5].map(beatsText)).toEqual(['1 beat', '2 beats', '3 1/2 beats', 'half a beat']);
    expect([102, 59.9, 3723].map(clockText)).toEqual(['1:42', '0:59', '1:02:03']);
    expect(sentence('bar 37: 2 beats')).toBe('Bar 37: 2 beats');
  });
});
