import { clockText } from '../../../src/music/clock-text.js';
import { describe, expect, it } from 'vitest';
import { placeText, placeWords } from '../../../src/app/map/position-text.js';
import { keyText } from '../../../src/app/kit/key-text.js';
import { songFacts, tempoText, tuningText } from '../../../src/app/shell/song-header/song-facts.js';
import { beatShape, outlineShape } from '../../../src/app/library/outline-shape.js';
import { isLoud } from '../../../src/app/kit/level-text.js';
import { bars } from '../../support/notation.js';

describe('a place in the song', () => {
  it('is a bar and a beat, counted from 1, and a clock time', () => {
    const map = bars('-2 (1) 4 4 ~4 4 -2');
    expect([0, 1, 1.5, 3.1, 5.4, 6, 8.4, 9.6].map((time) => placeText(map, time))).toEqual([
      'lead-in',
      'pickup 1',
      'bar 1.1',
      'bar 1.4',
      'bar 2.4',
      'free time',
      'bar 3.2',
      'end',
    ]);
    expect(placeWords(map, 3.1)).toBe('bar 1 beat 4');
    expect([0, 59.99, 60, 102.4, 3725].map(clockText)).toEqual(['0:00', '0:59', '1:00', '1:42', '1:02:05']);
  });

  it('is the beat that begins there, not the one before, however the time was rounded', () => {
    const map = bars('4 4');
    expect(placeText(map, 2 - 1e-9)).toBe('bar 2.1');
  });
});

describe('what is known of a song', () => {
  it('is said as a musician says it', () => {
    const map = { ...bars('4 4 4 2 4'), tuning: 28.3, key: { tonic: 'D', mode: 'major' as const, confidence: 1 } };
    expect(songFacts(map)).toEqual(['120 bpm', '4/4', 'D major', '+28 cents']);
    expect(songFacts({ ...map, key: { tonic: 'Eb', mode: 'minor', confidence: 1 } })[2]).toBe('E♭ minor');
    expect(tempoText({ low: 91.6, median: 94, high: 96.7 })).toBe('92–97 bpm');
    expect(tempoText(undefined)).toBe('');
    expect([0, 2.4, -12, 31].map(tuningText)).toEqual(['', '', '−12 cents', '+31 cents']);
  });
});

describe('keys in print', () => {
  it('are named as keyboards name them', () => {
    expect(keyText({ key: 'z', mod: true, shift: true }, false)).toBe('Ctrl Shift Z');
    expect(keyText({ key: 'z', mod: true, shift: true }, true)).toBe('⌘⇧Z');
    expect(keyText({ code: 'Digit4' }, false)).toBe('4');
    expect(keyText({ key: ' ' }, false)).toBe('Space');
    expect(keyText({ key: 'ArrowLeft' }, false)).toBe('←');
    expect(keyText({ key: 'F6' }, false)).toBe('F6');
  });
});

describe('levels', () => {
  it('bring the caution when either is loud and heard', () => {
    expect(isLoud({ recordingLevel: 0.4, clickLevel: 0.3, clickOn: true })).toBe(false);
    expect(isLoud({ recordingLevel: 0.8, clickLevel: 0.3, clickOn: true })).toBe(true);
    expect(isLoud({ recordingLevel: 0.4, clickLevel: 0.9, clickOn: true })).toBe(true);
    expect(isLoud({ recordingLevel: 0.4, clickLevel: 0.9, clickOn: false })).toBe(false);
  });
});

describe('the outline while a recording is read', () => {
  it('grows from the left as far as it is known', () => {
    const peaks = { rate: 10, data: Int8Array.from({ length: 100 }, (_, i) => (i % 2 === 0 ? -127 : 127)) };
    const xs = (shape: string) => [...shape.matchAll(/[ML]?(\d+) /g)].map((match) => Number(match[1]));
    expect(Math.max(...xs(outlineShape(peaks, 10, 200, 100)))).toBe(99);
    expect(Math.max(...xs(outlineShape(peaks, undefined, 200, 100)))).toBe(199);
    expect(outlineShape(peaks, 10, 200, 100)).toMatch(/^M0 0\.0L.*L0 100\.0Z$/);
    expect(outlineShape({ rate: 10, data: new Int8Array(0) }, 10, 200, 100)).toBe('');
  });

  it('has a short stroke at each beat found and a long one at each bar line', () => {
    expect(beatShape({ beats: [1, 2], lines: [2] }, 10, 200, 100)).toBe('M20.0 100V90.0M40.0 100V90.0M40.0 100V78.0');
    expect(beatShape({ beats: [], lines: [] }, 10, 200, 100)).toBe('');
  });
});
