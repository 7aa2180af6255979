import { describe, expect, it } from 'vitest';
import * as q from '../../src/model/map-queries.js';
import { beatTempi, localTempo, tempoSummary } from '../../src/model/tempo.js';
import { bars } from '../support/notation.js';

// Half a second a beat: lead-in 0, pickup 0.5, bars 1, 3 and 4 (of 2), free 5, bar 6, tail 8, end 9.
const map = bars('- Verse: (1) 4:G,C@2.5 2 | Chorus: 2 ~2 4 -2');

describe('questions to a map', () => {
  it('finds the bar that sounds, and none in lead-in, free stretch and tail', () => {
    const at = (time: number): number | undefined => q.barAt(map, time);
    expect([0.2, 0.5, 0.99, 1, 2.99, 3, 4.5, 5, 5.9, 6, 7.99, 8, 20, -1].map(at)).toEqual([
      undefined,
      0,
      0,
      1,
      1,
      2,
      3,
      undefined,
      undefined,
      4,
      4,
      undefined,
      undefined,
      undefined,
    ]);
  });

  it('numbers the pickup 0 and the first whole bar 1', () => {
    expect(q.barNumber(map, 0)).toBe(0);
    expect(q.barNumber(map, 4)).toBe(4);
    expect(q.barOfNumber(map, 0)).toBe(0);
    expect(q.barOfNumber(map, 5)).toBeUndefined();
    const plain = bars('4 4');
    expect(q.barNumber(plain, 0)).toBe(1);
    expect(q.barOfNumber(plain, 2)).toBe(1);
    expect(q.barOfNumber(plain, 0)).toBeUndefined();
  });

  it('counts a pickup behind free time as no bar', () => {
    const song = bars('4 4 ~ (1) 4 4');
    expect(q.barsOf(song).map((_, bar) => q.barNumber(song, bar))).toEqual([1, 2, 2, 3, 4]);
    expect([1, 2, 3, 4, 5].map((number) => q.barOfNumber(song, number))).toEqual([0, 1, 3, 4, undefined]);
    expect(q.isIrregular(song, 2)).toBe(false);
    expect(q.barOfNumber(song, 0)).toBeUndefined();
  });

  it('knows where bars and beats end', () => {
    expect([0, 1, 2, 3, 4].map((bar) => q.barEnd(map, bar))).toEqual([1, 3, 4, 5, 8]);
    expect(q.beatAt(map, 2.7)).toEqual({ bar: 1, beat: 3, start: 2.5, end: 3 });
    expect(q.beatAt(map, 4.6)).toEqual({ bar: 3, beat: 1, start: 4.5, end: 5 });
    expect(q.beatAt(map, 5.5)).toBeUndefined();
  });

  it('finds the nearest beat, bar and bar line', () => {
    expect(q.nearestBeat(map, 2.2)?.start).toBe(2);
    expect(q.nearestBeat(map, -3)?.start).toBe(0.5);
    expect(q.nearestBeat(map, 100)?.start).toBe(7.5);
    expect(q.nearestBar(map, 2.1)).toBe(2);
    expect(q.nearestBar(map, 1.9)).toBe(1);
    expect(q.nearestBar(map, 5.1)).toBe(4);
    expect(q.nearestBarLine(map, 5.1)).toBe(5);
    expect(q.nearestBarLine(map, 5.9)).toBe(6);
    expect(q.nearestBarLine(map, 99)).toBe(8);
    expect(q.nearestBarLine(map, 0)).toBe(0.5);
  });

  it('steps from beat to beat across bars and free stretches', () => {
    expect(q.beatFrom(map, 4.5, 1)?.start).toBe(6);
    expect(q.beatFrom(map, 4.6, -1)?.start).toBe(4.5);
    expect(q.beatFrom(map, 4.5, -1)?.start).toBe(4);
    expect(q.beatFrom(map, 0, 1)?.start).toBe(0.5);
    expect(q.beatFrom(map, 7.5, 5)?.start).toBe(7.5);
  });

  it('calls bars irregular whose measure is not the prevailing one, the pickup never', () => {
    expect(q.irregularBars(bars('(1) 4 4 2 4 7/8 4'))).toEqual([3, 5]);
  });

  it('takes the prevailing time signature from the newest lock there', () => {
    const song = bars('4 4 3 3 3 4');
    const meter = { count: 3, unit: 4, beatUnits: 1 } as const;
    const locked = { ...song, locks: [{ id: 'L1', kind: 'meter', from: 4, to: 8.5, meter } as const] };
    expect(q.irregularBars(song)).toEqual([2, 3, 4]);
    expect(q.irregularBars(locked)).toEqual([]);
    expect(q.prevailingAt(locked, 4).count).toBe(3);
    expect(q.prevailingAt(locked, 8.5).count).toBe(4);
  });

  it('gives the bars of sections and the section of bars', () => {
    expect([q.sectionBars(map, 0), q.sectionBars(map, 1), q.sectionBars(map, 2)]).toEqual([
      { first: 0, last: 2 },
      { first: 3, last: 4 },
      undefined,
    ]);
    expect([0, 2, 3, 4, 5].map((bar) => q.sectionOfBar(map, bar))).toEqual([0, 0, 1, 1, undefined]);
  });

  it('places chords on the beats of their bar', () => {
    expect(q.chordsInBar(map, 1).map(({ chord, beat }) => [chord.harte, beat])).toEqual([
      ['G', 0],
      ['C', 1.5],
    ]);
    expect(q.chordsInBar(map, 2)).toEqual([]);
    expect(q.chordAt(map, 0.9)).toBeUndefined();
    expect(q.chordAt(map, 1)?.harte).toBe('G');
    expect(q.chordAt(map, 7)?.harte).toBe('C');
  });

  it('counts places in a bar with half a beat at its end by their share', () => {
    const half = bars('3.5 4');
    const bar = q.barsOf(half)[0]!;
    expect(q.barEnd(half, 0)).toBe(1.75);
    expect(q.beatPosition(bar, 1.75, 1.625)).toBeCloseTo(3.25, 9);
    for (const position of [0, 0.5, 2.75, 3, 3.25]) {
      expect(q.beatPosition(bar, 1.75, q.timeOfPosition(bar, 1.75, position))).toBeCloseTo(position, 9);
    }
  });

  it('gives the same tempo for part beats and across free stretches, and its spread', () => {
    expect(beatTempi(bars('4 3.5 4 0.5 ~5 4')).every((tempo) => Math.abs(tempo - 120) < 1e-9)).toBe(true);
    expect(tempoSummary(map)).toEqual({ low: 120, median: 120, high: 120 });
    expect(tempoSummary(bars('~'))).toBeUndefined();
    expect(localTempo(bars('4', { beat: 0.75 }), 1.1)).toBeCloseTo(80, 9);
  });
});
