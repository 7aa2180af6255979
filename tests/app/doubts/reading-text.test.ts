import { describe, expect, it } from 'vitest';
import type { Doubt, LockDraft } from '../../../src/model/song-map.js';
import { parseMeter } from '../../../src/music/meter.js';
import { readingText } from '../../../src/app/doubts/reading-text.js';
import { bars } from '../../support/notation.js';

describe('the reading on a button', () => {
  // Bars start at 1, 3, 5 and 7 s.
  const map = bars('-2 4 4 4 4 -2');
  const doubt: Doubt = { time: 3, weight: 1, kind: 'length', text: '', keep: [], other: [] };
  const read = (...drafts: LockDraft[]): string => readingText(map, doubt, drafts);

  it('says a length in beats', () => {
    expect(read({ kind: 'bar-length', time: 3, meter: parseMeter('2/4') })).toBe('2 beats');
    expect(read({ kind: 'bar-length', time: 3, meter: { count: 7, unit: 8, beatUnits: 2 } })).toBe('3½ beats');
    expect(read({ kind: 'downbeat', time: 3 }, { kind: 'bar-length', time: 3, meter: parseMeter('1/4') })).toBe(
      '1 beat',
    );
    expect(read({ kind: 'bar-length', time: 5, meter: parseMeter('6/4') })).toBe('bar 3: 6 beats');
    const four = { kind: 'bar-length', meter: parseMeter('4/4') } as const;
    expect(read({ ...four, time: 3 }, { ...four, time: 5 })).toBe('4 beats each');
  });

  it('says that one bar is read as two', () => {
    const two = { kind: 'bar-length', meter: parseMeter('2/4') } as const;
    expect(read({ ...two, time: 3 }, { ...two, time: 4 })).toBe('2 + 2 beats');
  });

  it('says where beat 1 is', () => {
    expect(read({ kind: 'downbeat', time: 3 })).toBe('beat 1 here');
    expect(read({ kind: 'downbeat', time: 4 })).toBe('beat 1 on beat 3');
    expect(read({ kind: 'bar-lines', starts: [1.5, 3.5, 5.5] })).toBe('beat 1 on beat 2');
    expect(read({ kind: 'not-downbeat', time: 3 })).toBe('no beat 1 here');
  });

  it('says a tempo, and the length on the map when there is nothing to lock', () => {
    expect(read({ kind: 'tempo', from: 0, to: 9, period: 1 })).toBe('about 60 bpm');
    const whole: LockDraft = { kind: 'meter', from: 0, to: 9, meter: parseMeter('2/4') };
    expect(readingText(map, { ...doubt, kind: 'level' }, [whole])).toBe('2/4');
    expect(read()).toBe('4 beats');
  });

  it('sets a steady beat against free time', () => {
    const keep: LockDraft[] = [{ kind: 'bar-lines', starts: [3, 5] }];
    const free: Doubt = { ...doubt, kind: 'free', keep, other: [{ kind: 'free', from: 3, to: 7 }] };
    expect(readingText(map, free, free.keep)).toBe('a steady beat');
    expect(readingText(map, free, free.other)).toBe('free time');
  });

  it('answers whether the map begins and ends with the music', () => {
    const length: LockDraft = { kind: 'bar-length', time: 3, meter: parseMeter('4/4') };
    const edge = (time: number, ...other: LockDraft[]): readonly string[] => {
      const asked: Doubt = { ...doubt, kind: 'edge', time, keep: [{ ...length, time }], other };
      return [readingText(map, asked, asked.keep), readingText(map, asked, asked.other)];
    };
    expect(edge(1, { kind: 'downbeat', time: -1 })).toEqual(['the first bar', '1 more bar before it']);
    expect(edge(1, { kind: 'downbeat', time: -5 })).toEqual(['the first bar', '3 more bars before it']);
    expect(edge(1, { kind: 'beat', time: 0.5 })).toEqual(['the first bar', 'a pickup of 1 beat']);
    expect(edge(7, { ...length, time: 9 })).toEqual(['the last bar', '1 more bar after it']);
    expect(edge(7, { ...length, time: 9 }, { ...length, time: 11 })).toEqual(['the last bar', '2 more bars after it']);
  });
});
