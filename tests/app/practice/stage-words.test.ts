import { describe, expect, it } from 'vitest';
import { loopText, readSpeeds, retuneText, speedText } from '../../../src/app/practice/practice-words.js';
import { beatIn, stageAt } from '../../../src/app/practice/stage-words.js';
import { bars } from '../../support/notation.js';

const map = bars('-2 Verse: (1) 4:G,C@3 2 | Chorus: 4:D 3.5 -');
const brief = (time: number, loop?: { from: number; until: number }) => {
  const { current, next, section, barsLeft, nextSection, outside } = stageAt(map, time, loop);
  return [current?.name ?? outside, next?.name, section?.name, barsLeft, nextSection];
};

describe('the stage', () => {
  it('names the bar that sounds, the next one, the section and how much of it is left', () => {
    expect(brief(0.2)).toEqual(['lead-in', 'pickup', 'Verse', 0, 'Chorus']);
    expect(brief(1.1)).toEqual(['pickup', 'bar 1', 'Verse', 2, 'Chorus']);
    expect(brief(2)).toEqual(['bar 1', 'bar 2', 'Verse', 1, 'Chorus']);
    expect(brief(4)).toEqual(['bar 2', 'bar 3', 'Verse', 0, 'Chorus']);
    expect(brief(8)).toEqual(['bar 4', undefined, 'Chorus', 0, undefined]);
  });

  it('says how long an irregular bar is, and shows the chord that goes on from before', () => {
    const { current, next } = stageAt(map, 2);
    expect(current).toMatchObject({
      irregular: false,
      chords: [
        { text: 'G', beat: 0, held: false },
        { text: 'C', beat: 2 },
      ],
    });
    expect(next).toMatchObject({ irregular: true, length: '2 beats', chords: [{ text: 'C', beat: 0, held: true }] });
    expect(stageAt(map, 5).next).toMatchObject({ length: '3½ beats', beats: 4 });
  });

  it('comes back to the first bar of a loop after its last', () => {
    const loop = { from: 1.5, until: 4.5 };
    expect(brief(3.6, loop)[1]).toBe('bar 1');
    expect(brief(1.6, loop)[1]).toBe('bar 2');
    expect(brief(5, loop)[1]).toBe('bar 4');
  });

  it('knows the beat and how far it has gone', () => {
    expect(beatIn(map, 1, 1.5)).toEqual({ beat: 0, gone: 0 });
    expect(beatIn(map, 1, 3.25)).toEqual({ beat: 3, gone: 0.5 });
  });
});

describe('the words of practising', () => {
  it('say speed, loop and tuning as musicians do', () => {
    expect(speedText(map, 1)).toBe('about 120 bpm, as recorded');
    expect(speedText(map, 0.7)).toBe('about 84 bpm; the recording has 120');
    expect(loopText(map, { from: 1.5, until: 4.5 })).toBe('bars 1 to 2');
    expect(loopText(map, { from: 3.5, until: 4.5 })).toBe('bar 2');
    expect(loopText(map, { from: 100, until: 101 })).toBe('a stretch without bars');
    expect(retuneText(31)).toMatch(/^The recording is 31 cents sharp of A440: tune up/);
    expect(readSpeeds('70, 85 100 % 70 5 abc')).toEqual([0.7, 0.85, 1]);
    expect(retuneText(-1)).toMatch(/^The recording is 1 cent flat/);
  });
});
