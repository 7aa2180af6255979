import { describe, expect, it } from 'vitest';
import { changesBetween, describeChanges } from '../../src/model/changes.js';
import { describeLock, timeText } from '../../src/model/describe-lock.js';
import { doubleTempo, halveTempo } from '../../src/model/edits/level.js';
import { check, checkLocks } from '../../src/model/invariants.js';
import type { Bar, ChordMark, Doubt, LockDraft, Section, SongMap, Span } from '../../src/model/song-map.js';
import { COMMON_TIME, parseMeter, withBeats } from '../../src/music/meter.js';
import { bars } from '../support/notation.js';

const map = bars('- (1) 4:G 4 | 4:C ~2 4 -2');
const bar = (i: number): Bar => map.spans[i] as Bar;
const withSpan = (i: number, change: Partial<Bar>): Partial<SongMap> => {
  return { spans: map.spans.map((span, s) => (s === i ? ({ ...span, ...change } as Span) : span)) };
};
const section = (change: Partial<Section>): Partial<SongMap> => {
  return { sections: [map.sections[0]!, { ...map.sections[1]!, ...change }] };
};
const chord = (change: Partial<ChordMark>): Partial<SongMap> => ({
  chords: [map.chords[0]!, { ...map.chords[1]!, ...change }],
});
const doubt = (change: Partial<Doubt>): Partial<SongMap> => {
  return { doubts: [{ time: 1, weight: 0.5, kind: 'length', text: '?', keep: [], other: [], ...change }] };
};
const without = (i: number): Partial<SongMap> => ({ spans: map.spans.filter((_, s) => s !== i) });

describe('a sound map', () => {
  it('has nothing wrong with it', () => {
    expect(check(map)).toEqual([]);
    expect(check(bars('~'))).toEqual([]);
  });
});

describe('a map that is wrong says so:', () => {
  it.each<[string, Partial<SongMap>, RegExp]>([
    ['end before start', { end: 0 }, /runs from 0:00.00 to 0:00.00/],
    ['end after the recording', { end: 99 }, /after the recording/],
    ['end that is no number', { end: NaN }, /runs from/],
    ['start that is not the first span’s', { start: 0.25 }, /the first span starts at 0:00.00, the map at 0:00.25/],
    ['recording of no length', { recording: { ...map.recording, duration: 0 } }, /lasts 0 s/],
    ['tuning out of range', { tuning: 51 }, /tuning is 51/],
    ['key confidence out of range', { key: { tonic: 'C', mode: 'major', confidence: 2 } }, /confidence is 2/],
    ['prevailing measure of nothing', { prevailing: { count: 0, unit: 4, beatUnits: 1 } }, /counts 0 units/],
    ['no spans', { spans: [] }, /first span starts at undefined/],
    ['no lead-in where it was', without(0), /first span starts at 0:00.50, the map at 0:00.00/],
    [
      'a lead-in inside',
      { spans: map.spans.map((s, i) => (i === 3 ? { kind: 'lead-in', start: s.start } : s)) },
      /is not the first/,
    ],
    [
      'a tail inside',
      { spans: map.spans.map((s, i) => (i === 5 ? { kind: 'tail', start: s.start } : s)) },
      /is not the last/,
    ],
    [
      'spans out of order',
      { spans: map.spans.map((s, i) => (i === 5 ? { kind: 'free', start: 99 } : s)) },
      /runs from 1:39.00/,
    ],
    [
      'beats that do not start with the bar',
      withSpan(2, { beats: [1.1, 1.5, 2, 2.5] }),
      /first beat is at 0:01.10, not at 0:01.00/,
    ],
    ['beats out of order', withSpan(2, { beats: [1, 2, 1.5, 2.5] }), /do not ascend/],
    ['beats beyond the bar', withSpan(2, { beats: [1, 1.5, 2, 3.5] }), /do not ascend/],
    ['a beat too few', withSpan(2, { beats: [1, 1.5, 2] }), /3 beats for 4\/4/],
    [
      'a beat too many',
      withSpan(2, { meter: withBeats(COMMON_TIME, 3.5), beats: [1, 1.2, 1.5, 2, 2.5] }),
      /5 beats for 7\/8/,
    ],
    ['groups that do not add up', withSpan(2, { meter: { ...COMMON_TIME, grouping: [3, 2] } }), /do not add up to 4/],
    ['a confidence of 1.1', withSpan(2, { confidence: 1.1 }), /confidence is 1.1/],
    ['a second pickup', withSpan(3, { pickup: true }), /a pickup behind another bar/],
    [
      'a pickup into free time',
      { spans: [...map.spans.slice(0, 2), ...map.spans.slice(5)] },
      /no whole bar follows the pickup/,
    ],
    ['no sections', { sections: [] }, /no section has the bars/],
    ['a first section that starts late', { sections: [map.sections[1]!] }, /first section starts at 0:05.00/],
    ['a section on no bar line', section({ start: 3.5 }), /on no bar line/],
    ['a section without bars', section({ start: 0.5 }), /has no bar/],
    ['a section with the id of another', section({ id: 'S1' }), /sections have the same id/],
    ['a section without a letter', section({ letter: '' }), /no letter/],
    ['a swing of 4', section({ swing: 4 }), /swing 4/],
    ['a strum of no known stroke', section({ strum: { parts: 2, strokes: 'd?' } }), /no stroke/],
    ['an anchor that is no number', section({ anchor: Infinity }), /anchor Infinity/],
    ['chords out of order', chord({ time: 0.5 }), /chord 0 .* the next at 0:00.50/],
    ['a chord after the recording', chord({ time: 99 }), /chord 1 \(C\) is at 1:39.00/],
    ['a suggested chord in the tail', chord({ time: 10 }), /in no bar/],
    ['a chord without a name', chord({ harte: '' }), /no name/],
    ['a doubt on no bar line', doubt({ time: 1.5 }), /on no bar line/],
    ['a doubt of weight 2', doubt({ weight: 2 }), /weight 2/],
    ['a doubt with an impossible lock', doubt({ other: [{ kind: 'beat', time: NaN }] }), /its time is NaN/],
    [
      'two locks of one id',
      { locks: [1, 2].map((time) => ({ id: 'L1', kind: 'beat' as const, time })) },
      /locks have the same id/,
    ],
    [
      'a lock on free time backwards',
      { locks: [{ id: 'L1', kind: 'free', from: 2, to: 1 }] },
      /from 0:02.00 to 0:01.00/,
    ],
  ])('%s', (_, change, message) => {
    expect(check({ ...map, ...change }).join('\n')).toMatch(message);
  });

  it('and typed chords may lie outside the bars', () => {
    expect(check({ ...map, ...chord({ time: 10, origin: 'user' }) })).toEqual([]);
  });

  it('and a lock that does not hold is named', () => {
    const locked: SongMap = { ...map, locks: [{ id: 'L7', kind: 'downbeat', time: 1.5 }] };
    expect(checkLocks(locked)).toEqual(['lock L7 does not hold: a bar starts at 0:01.50']);
    expect(checkLocks({ ...map, locks: [{ id: 'L7', kind: 'downbeat', time: bar(2).start }] })).toEqual([]);
  });
});

describe('a lock in words', () => {
  it.each<[LockDraft, string]>([
    [{ kind: 'beat', time: 102.314 }, 'a beat at 1:42.31'],
    [{ kind: 'no-beat', time: 0.999 }, 'no beat at 0:01.00'],
    [{ kind: 'downbeat', time: 3 }, 'bar 2 starts here'],
    [{ kind: 'downbeat', time: 3.5 }, 'a bar starts at 0:03.50'],
    [{ kind: 'not-downbeat', time: 3.5 }, 'no bar starts at 0:03.50'],
    [{ kind: 'bar-length', time: 3, meter: withBeats(COMMON_TIME, 2) }, 'bar 2 has 2 beats'],
    [{ kind: 'bar-length', time: 0.5, meter: withBeats(COMMON_TIME, 1) }, 'bar 0 has 1 beat'],
    [{ kind: 'bar-length', time: 3, meter: withBeats(COMMON_TIME, 3.5) }, 'bar 2 has 3 1/2 beats'],
    [{ kind: 'bar-length', time: 3, meter: withBeats(COMMON_TIME, 0.5) }, 'bar 2 has 1/2 beat'],
    [{ kind: 'bar-length', time: 3, meter: parseMeter('7/8 (2+2+3)') }, 'bar 2 has 7 beats, 7/8 (2+2+3)'],
    [{ kind: 'bar-length', time: 2.5, meter: COMMON_TIME }, 'the bar at 0:02.50 has 4 beats'],
    [{ kind: 'meter', from: 0, to: 11, meter: parseMeter('3/4') }, '3/4 in the whole song'],
    [{ kind: 'meter', from: 1, to: 5, meter: parseMeter('3/4') }, '3/4 from bar 1 to bar 2'],
    [{ kind: 'meter', from: 3, to: 5, meter: parseMeter('3/4') }, '3/4 in bar 2'],
    [{ kind: 'tempo', from: 1.2, to: 5, period: 0.5 }, 'about 120 bpm from 0:01.20 to 0:05.00'],
    [{ kind: 'tap', beats: [1, 1.5, 2], downbeats: [] }, 'the 3 beats tapped or brought in from 0:01.00 to 0:02.00'],
    [{ kind: 'bar-lines', starts: [1] }, 'the bar line moved at 0:01.00'],
    [{ kind: 'bar-lines', starts: [1, 3] }, 'the 2 bar lines moved from 0:01.00 to 0:03.00'],
    [{ kind: 'free', from: 7, to: 8 }, 'free time from 0:07.00 to 0:08.00'],
    [{ kind: 'edge', edge: 'start', time: 0.5 }, 'the map starts at 0:00.50'],
    [{ kind: 'edge', edge: 'end', time: 65 }, 'the map ends at 1:05.00'],
  ])('%j', (lock, expected) => {
    expect(describeLock(lock, map)).toBe(expected);
  });

  it('rounds times without a sixtieth second', () => {
    expect([59.996, 60, 3599.999, -1].map(timeText)).toEqual(['1:00.00', '1:00.00', '60:00.00', '0:00.00']);
  });
});

describe('what a solve changed', () => {
  const said = (before: SongMap, after: SongMap): string => describeChanges(changesBetween(before, after));

  it('is nothing between equal maps, or when beats move by less than a person hears', () => {
    expect(said(map, map)).toBe('no other bar changed');
    const nudged = { ...map, ...withSpan(3, { beats: bar(3).beats.map((t, i) => (i === 0 ? t : t + 0.004)) }) };
    expect(changesBetween(map, nudged)).toEqual({ bars: [], gone: 0 });
  });

  it('counts bars by what they are, not by their number', () => {
    expect(changesBetween(bars('4 4 4 4'), bars('4 2 2 4 4'))).toEqual({ bars: [1, 2], gone: 1 });
    expect(said(bars('4 4 4 4'), bars('4 2 2 4 4'))).toBe('2 bars changed');
    expect(said(bars('4 4'), bars('4 3 1'))).toBe('2 bars changed');
    expect(said(bars('2 2 4'), bars('4 4'))).toBe('2 bars changed');
    expect(said(bars('(1) 4'), bars('1 4'))).toBe('1 bar changed');
  });

  it('says when the whole song counts at another level', () => {
    const song = bars('4 4 4');
    expect(said(song, doubleTempo(song))).toBe('tempo doubled: 3 bars changed');
    expect(said(song, halveTempo(song))).toBe('tempo halved: 3 bars changed');
  });
});
