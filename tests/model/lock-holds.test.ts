import { describe, expect, it } from 'vitest';
import { holds } from '../../src/model/lock-holds.js';
import type { LockDraft, SongMap } from '../../src/model/song-map.js';
import type { Lock } from '../../src/model/locks.js';
import { parseMeter, withBeats, COMMON_TIME } from '../../src/music/meter.js';
import { bars } from '../support/notation.js';

function does(map: SongMap, draft: LockDraft): boolean {
  return holds(map.spans, { id: 'L1', ...draft } as Lock, map.start, map.end);
}

// Beats every half second: bars start at 0 (lead-in), 0.5 (pickup), 1, 3, 4 and 6; the tail at 8.
const map = bars('- (1) 4 2 4 4 -2');

describe('a lock holds', () => {
  const cases: readonly [string, boolean, LockDraft][] = [
    ['a beat where a beat is', true, { kind: 'beat', time: 2.5 }],
    ['a beat a microsecond away', true, { kind: 'beat', time: 2.5000009 }],
    ['a beat a tenth of a millisecond away', false, { kind: 'beat', time: 2.5001 }],
    ['a beat where the tail starts', false, { kind: 'beat', time: 8 }],
    ['no beat between beats', true, { kind: 'no-beat', time: 2.25 }],
    ['no beat 70 ms from a beat', true, { kind: 'no-beat', time: 2.57 }],
    ['no beat 60 ms from a beat', false, { kind: 'no-beat', time: 2.56 }],
    ['beat 1 at a bar line', true, { kind: 'downbeat', time: 3 }],
    ['beat 1 inside a bar', false, { kind: 'downbeat', time: 3.5 }],
    ['beat 1 at the start of a pickup', false, { kind: 'downbeat', time: 0.5 }],
    ['not beat 1 at the start of a pickup', true, { kind: 'not-downbeat', time: 0.5 }],
    ['not beat 1 inside a bar', true, { kind: 'not-downbeat', time: 3.5 }],
    ['not beat 1 at a bar line', false, { kind: 'not-downbeat', time: 3.05 }],
    ['two beats in the bar of two', true, { kind: 'bar-length', time: 3, meter: withBeats(COMMON_TIME, 2) }],
    [
      'two quarters written as four eighths',
      true,
      { kind: 'bar-length', time: 3, meter: { count: 4, unit: 8, beatUnits: 2 } },
    ],
    ['four beats in the bar of two', false, { kind: 'bar-length', time: 3, meter: COMMON_TIME }],
    ['one beat in the pickup', true, { kind: 'bar-length', time: 0.5, meter: withBeats(COMMON_TIME, 1) }],
    ['a length where no bar starts', false, { kind: 'bar-length', time: 3.5, meter: withBeats(COMMON_TIME, 2) }],
    ['4/4 over all', true, { kind: 'meter', from: 0, to: 9, meter: COMMON_TIME }],
    ['3/4 over all', false, { kind: 'meter', from: 0, to: 9, meter: parseMeter('3/4') }],
    ['2/4 over the bar of two alone', true, { kind: 'meter', from: 3, to: 4, meter: parseMeter('2/4') }],
    ['any time signature where no bar starts', true, { kind: 'meter', from: 1.1, to: 3, meter: parseMeter('5/4') }],
    ['half a second a beat', true, { kind: 'tempo', from: 0, to: 9, period: 0.5 }],
    ['a beat 1.4 times as long', true, { kind: 'tempo', from: 0, to: 9, period: 0.7 }],
    ['a beat 1.5 times as long', false, { kind: 'tempo', from: 0, to: 9, period: 0.75 }],
    ['any tempo where no whole beat lies', true, { kind: 'tempo', from: 8, to: 9, period: 2 }],
    ['the beats tapped', true, { kind: 'tap', beats: [2, 2.5, 3, 3.5], downbeats: [3] }],
    ['taps that leave the bars open', true, { kind: 'tap', beats: [2, 2.5, 3, 3.5], downbeats: [] }],
    ['a tap missing', false, { kind: 'tap', beats: [2, 2.5, 3.5], downbeats: [] }],
    ['a tap too many', false, { kind: 'tap', beats: [2, 2.25, 2.5], downbeats: [] }],
    ['taps with another beat 1', false, { kind: 'tap', beats: [2, 2.5, 3, 3.5], downbeats: [2.5, 3] }],
    ['taps with a beat 1 too few', false, { kind: 'tap', beats: [2.5, 3, 3.5, 4], downbeats: [3] }],
    ['the bar lines', true, { kind: 'bar-lines', starts: [1, 3, 4] }],
    ['a bar line too few', false, { kind: 'bar-lines', starts: [1, 4] }],
    ['the start of a pickup as a bar line', false, { kind: 'bar-lines', starts: [0.5, 1, 3] }],
    ['free time over bars', false, { kind: 'free', from: 3, to: 4 }],
    ['free time over the tail', false, { kind: 'free', from: 8, to: 9 }],
    ['free time outside the map', true, { kind: 'free', from: 9, to: 12 }],
    ['the start of the map', true, { kind: 'edge', edge: 'start', time: 0 }],
    ['another end of the map', false, { kind: 'edge', edge: 'end', time: 8 }],
  ];
  it.each(cases)('%s: %s', (_, expected, draft) => {
    expect(does(map, draft)).toBe(expected);
  });

  it('free time holds in a free stretch and in a part of it, not beyond it', () => {
    const free = bars('4 ~4 4');
    expect(does(free, { kind: 'free', from: 2, to: 4 })).toBe(true);
    expect(does(free, { kind: 'free', from: 2.5, to: 3 })).toBe(true);
    expect(does(free, { kind: 'free', from: 2, to: 4.5 })).toBe(false);
  });

  it('taps across a free stretch do not hold', () => {
    const free = bars('2 ~4 2');
    expect(does(free, { kind: 'tap', beats: [0, 0.5, 3, 3.5], downbeats: [] })).toBe(false);
  });

  it('a bar length with a grouping asks for that grouping', () => {
    const grouped = bars('7/8(2+2+3) 7/8');
    const meter = parseMeter('7/8 (2+2+3)');
    expect(does(grouped, { kind: 'bar-length', time: 0, meter })).toBe(true);
    expect(does(grouped, { kind: 'bar-length', time: 0, meter: parseMeter('7/8') })).toBe(true);
    expect(does(grouped, { kind: 'bar-length', time: 3.5, meter })).toBe(false);
  });

  it('half a beat at the end of a bar counts by its share for a tempo', () => {
    const halves = bars('0.5 0.5 0.5 0.5 0.5 0.5');
    expect(does(halves, { kind: 'tempo', from: 0, to: 2, period: 0.5 })).toBe(true);
    expect(does(halves, { kind: 'tempo', from: 0, to: 2, period: 0.25 })).toBe(false);
  });

  it('one beat moved by a third breaks no tempo, three slow beats in a row do', () => {
    const beats = (times: readonly number[]): SongMap => {
      const whole = bars('8');
      const bar = { ...(whole.spans[0] as Extract<SongMap['spans'][number], { kind: 'bar' }>), beats: times };
      return { ...whole, spans: [bar] };
    };
    expect(does(beats([0, 0.5, 1, 1.67, 2, 2.5, 3, 3.5]), { kind: 'tempo', from: 0, to: 4, period: 0.5 })).toBe(true);
    expect(does(beats([0, 0.5, 1.3, 2.1, 2.9, 3.2, 3.5, 3.8]), { kind: 'tempo', from: 0, to: 4, period: 0.5 })).toBe(
      false,
    );
  });
});
