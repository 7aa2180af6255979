import { describe, expect, it } from 'vitest';
import type { KnownSong } from '../measures/judge.js';
import type { Doubt, LockDraft } from '../../../src/model/song-map.js';
import { parseMeter } from '../../../src/music/meter.js';
import { correctionAt, editNaively, rightReading, wrongBars, type SeenBeat } from './user.js';

/** Beats half a second apart. */
function seen(...lengths: number[]): SeenBeat[] {
  let time = 0;
  return lengths.flatMap((n) => Array.from({ length: n }, (_, i) => ({ time: (time += 0.5) - 0.5, starts: i === 0 })));
}
function known(...lengths: number[]): KnownSong {
  const beats = seen(...lengths);
  let at = 0;
  const bars = lengths.map((n) => [(at += n) && (beats[at - n] as SeenBeat).time, n] as const);
  return { beats: beats.map(({ time }) => [time, 0] as const), bars, judged: [-0.25, 1000] };
}
function play(truth: KnownSong, map: readonly SeenBeat[]): number {
  for (let edits = 0; edits < 60; edits++) {
    const [wrong] = wrongBars(truth, map);
    if (wrong === undefined) return edits;
    map = editNaively(map, correctionAt(truth, map, wrong));
  }
  return Infinity;
}

describe('the simulated user', () => {
  it('has nothing to do where the map is right', () => {
    expect(play(known(4, 4, 2, 4, 4), seen(4, 4, 2, 4, 4))).toBe(0);
  });

  it('says the length of the short bar that was missed', () => {
    const truth = known(4, 4, 2, 4, 4, 4);
    const map = seen(4, 4, 4, 4, 4, 2);
    expect(wrongBars(truth, map)[0]).toBe(2);
    expect(correctionAt(truth, map, 2)).toEqual({ kind: 'bar-length', time: 4, value: 2 });
    expect(play(truth, map)).toBeGreaterThan(1);
    expect(play(truth, map)).toBeLessThan(6);
  });

  it('changes the level, moves, adds and removes beats', () => {
    const truth = known(4, 4, 4, 4);
    const right = seen(4, 4, 4, 4);
    const half = right.filter((_, i) => i % 2 === 0);
    expect(correctionAt(truth, half, 0).kind).toBe('double');
    const moved = right.map((beat, i) => (i === 5 ? { ...beat, time: 2.6 } : beat));
    expect(correctionAt(truth, moved, 1)).toEqual({ kind: 'move', time: 2.6, value: 2.5 });
    const missing = right.filter((_, i) => i !== 5);
    expect(correctionAt(truth, missing, 1)).toEqual({ kind: 'beat', time: 2.5 });
    const extra = [...right, { time: 2.75, starts: false }].sort((a, b) => a.time - b.time);
    expect(correctionAt(truth, extra, 1)).toEqual({ kind: 'no-beat', time: 2.75 });
    for (const map of [half, missing, extra]) expect(play(truth, map)).toBe(1);
  });
});

describe('the last bar', () => {
  const truth = { ...known(4, 4, 4), judged: [-0.25, 5.75] as const };

  it('is judged by its start, and may run on', () => {
    expect(wrongBars(truth, seen(4, 4, 4))).toEqual([]);
    expect(wrongBars(truth, seen(4, 4, 6))).toEqual([]);
    expect(wrongBars(truth, seen(4, 4, 4, 4))).toEqual([]);
    expect(wrongBars(truth, seen(4, 4, 2, 2))).toEqual([2]);
    expect(wrongBars(truth, seen(4, 5, 4))).toEqual([1, 2]);
  });

  it('is left out where it is open', () => {
    expect(wrongBars({ ...truth, last_bar_open: true }, seen(4, 4, 2, 2))).toEqual([]);
  });
});

describe('a doubt about the whole song', () => {
  const doubt = (time: number, kind: Doubt['kind'], ...other: LockDraft[]): Doubt => {
    return { time, kind, weight: 0.9, text: '', keep: [], other };
  };
  const tempo = (time: number, period: number): Doubt =>
    doubt(time, 'level', { kind: 'tempo', from: 0, to: 9, period });
  const meter = (time: number, name: string): Doubt =>
    doubt(time, 'level', { kind: 'meter', from: 0, to: 9, meter: parseMeter(name) });
  // Three beats of half a second a bar, seen as four beats in the same bar.
  const threes = known(3, 3, 3, 3);
  const asFour = seen(4, 4, 4, 4).map((beat) => ({ ...beat, time: beat.time * 0.75 }));

  it('is taken where its other reading is the song, and the shown one is not', () => {
    expect(rightReading(threes, asFour, [tempo(0, 0.25), tempo(1.5, 0.5)])).toEqual({ kind: 'reading', time: 1.5 });
    expect(rightReading(threes, asFour, [tempo(0, 0.25), tempo(1.5, 0.75)])).toBeUndefined();
    expect(rightReading(threes, seen(3, 3, 3, 3), [tempo(0, 0.5)])).toBeUndefined();
    expect(rightReading(known(2, 2, 2, 2), seen(4, 4), [meter(0, '2/4')])).toEqual({ kind: 'reading', time: 0 });
    expect(rightReading(known(2, 2, 2, 2), seen(4, 4), [meter(0, '3/4')])).toBeUndefined();
  });

  it('is heard only at the head of the list', () => {
    expect(rightReading(threes, asFour, [doubt(0, 'weak'), tempo(1.5, 0.5)])).toBeUndefined();
  });
});
