import { describe, expect, it } from 'vitest';
import type { Recording } from '../../../src/model/song-map.js';
import { madeBeats, madeEvidence, type MadeOptions } from '../../support/made-evidence.js';
import type { KnownSong } from '../measures/judge.js';
import { calibrationError, claims, rankedPlaces } from './doubts-and-confidence.js';
import { naively, play, seenBeats, type Way } from './play.js';
import { SongSolver } from './solver.js';
import { wrongBars, type Correction } from './user.js';

/**
 * A made-up song of bars with so many beats, half a second each: the truth, and its solver. With `asFour` the band plays
 * on in fours all the same, so that the solver cannot know better.
 */
function song(
  lengths: readonly number[],
  options: Partial<MadeOptions>,
  asFour = false,
): { known: KnownSong; solver: SongSolver } {
  const beats = madeBeats(lengths, 0.5);
  const played = beats.map((beat, i) => (asFour ? { ...beat, place: i % 4, chord: Math.floor(i / 4) } : beat));
  const duration = (beats.at(-1)?.time ?? 0) + 2.5;
  const recording = { fileName: 'made.wav', duration, contentId: '' } as unknown as Recording;
  const starts = beats.filter(({ place }) => place === 0).map(({ time }) => time);
  return {
    known: {
      beats: beats.map(({ time, place }) => [time, place + 1] as const),
      bars: starts.map((start, i) => [start, lengths[i] as number] as const),
      judged: [0.25, duration - 2.25],
    },
    solver: new SongSolver(madeEvidence(played, { duration, ...options }), recording),
  };
}

const many = (length: number, times: number): number[] => Array<number>(times).fill(length);

describe('a simulated user with the real solver', () => {
  it('sets no lock where the map is right', async () => {
    const { known, solver } = song([...many(4, 12), 2, ...many(4, 12)], { offBeats: 0.3 });
    const played = await play(known, solver.first, 'bars', (correction) => solver.correct(correction));
    expect(played).toMatchObject({ locks: 0, right: true, places: [], bars: 24 });
  });

  it.each<Way>(['bars', 'doubts'])('puts a song right whose band hides its odd bars, going by %s', async (way) => {
    const made = [...many(4, 9), 3, ...many(4, 9), 2, ...many(4, 9)];
    const { known, solver } = song(made, { offBeats: 0.3 }, true);
    const set: Correction[] = [];
    const played = await play(known, solver.first, way, (correction) => {
      set.push(correction);
      return solver.correct(correction);
    });
    expect(played.right).toBe(true);
    expect(played.locks).toBeGreaterThan(0);
    expect(played.locks).toBeLessThan(naively(known, solver.first));
    expect(set).toEqual(played.set);
    // Fair play: a kind, a time, at most one number.
    for (const one of set) expect(Object.keys(one).every((key) => ['kind', 'time', 'value'].includes(key))).toBe(true);
  });

  it('counts a wrong level as one place, and starts afresh when asked', async () => {
    const { known, solver } = song(many(4, 24), { offBeats: 0.3 });
    const slow = solver.correct({ kind: 'half', time: 0.5 }).map;
    const played = await play(known, slow ?? solver.first, 'bars', (correction) => solver.correct(correction));
    expect(played.right).toBe(true);
    expect(played.places.filter(({ ofLevel }) => ofLevel).length).toBe(1);
    expect(played.set[0]?.kind).toBe('double');
    expect(solver.restart().map).toBe(solver.first);
    expect(wrongBars(known, seenBeats(solver.first))).toEqual([]);
  });

  it('gives up where the solver refuses, and that is a failure', async () => {
    const { known, solver } = song([...many(4, 9), 3, ...many(4, 9)], { offBeats: 0.3 }, true);
    const played = await play(known, solver.first, 'bars', () => ({ refused: 'no' }));
    expect(played).toMatchObject({ right: false, locks: 40 });
  });
});

describe('doubts and confidence', () => {
  const { known, solver } = song(many(4, 20), { offBeats: 0.3 });
  const doubt = (time: number, kind: 'level' | 'phase') => ({ time, kind, weight: 0.5, text: '', keep: [], other: [] });
  const map = { ...solver.first, doubts: [doubt(0.5, 'level'), doubt(10.5, 'phase'), doubt(20.5, 'phase')] };

  it('finds a place within one bar of a doubt, a wrong level only by a doubt about it', () => {
    const at = (time: number, ofLevel = false) => rankedPlaces(map, [{ time, ofLevel }])[0]?.rank;
    expect([at(10.5), at(12.5), at(8.5), at(14.5), at(22.5), at(0.5), at(30, true)]).toEqual([
      2,
      2,
      2,
      Infinity,
      3,
      Infinity,
      1,
    ]);
    expect(rankedPlaces(map, [{ time: 0.5, ofLevel: true }])[0]?.first).toBe(5);
  });

  it('judges the claim of each bar', () => {
    expect(claims(map, known).length).toBe(20);
    expect(claims(map, known).every(([, right]) => right)).toBe(true);
    const other = { ...known, bars: (known.bars ?? []).map(([start, beats]) => [start + 0.5, beats] as const) };
    expect(claims(map, other).some(([, right]) => right)).toBe(false);
  });

  it('weighs the gap between claimed and right by the bars in each tenth', () => {
    // Two bins: 4 bars claim 0.9 and 3 of them are right, 1 bar claims 0.2 and is wrong: 0.8 x 0.15 + 0.2 x 0.2.
    const all = [
      [0.9, true],
      [0.9, true],
      [0.9, true],
      [0.9, false],
      [0.2, false],
    ] as const;
    expect(calibrationError(all)).toBeCloseTo(0.8 * 0.15 + 0.2 * 0.2, 9);
    expect(calibrationError([[1, true]])).toBe(0);
  });
});
