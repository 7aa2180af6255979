import { describe, expect, it } from 'vitest';
import { lockVotes } from '../../src/analysis/locks/lock-votes.js';
import { findRepetition, type Repetition } from '../../src/analysis/bars/repetition.js';
import { repetitionVotes } from '../../src/analysis/bars/repetition-votes.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import type { SolveOptions } from '../../src/analysis/solve-options.js';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import type { Lock } from '../../src/model/locks.js';
import type { Bar } from '../../src/model/song-map.js';
import { beatsOf, parseMeter } from '../../src/music/meter.js';
import { madeBeats, madeEvidence, seeded, type MadeBeat } from '../support/made-evidence.js';

/** Profiles of beats that sound like the notes of a row, one note a beat. */
function profilesOf(notes: readonly number[]): { count: number; size: number; values: Float32Array } {
  const size = 16;
  const values = new Float32Array(notes.length * size);
  notes.forEach((note, i) => (values[i * size + note] = 1));
  return { count: notes.length, size, values };
}

function partners({ offsets, others }: Repetition, i: number): number[] {
  return [...others.subarray(offsets[i], offsets[i + 1])];
}

const random = seeded(3);
const phrase = Array.from({ length: 40 }, () => Math.floor(16 * random()));
const between = Array.from({ length: 24 }, () => Math.floor(16 * random()));

const nowhere = (): boolean => false;

describe('repeated material', () => {
  it('is found beat by beat', () => {
    const repetition = findRepetition(profilesOf([...phrase, ...between, ...phrase]));
    for (let i = 0; i < 40; i++) expect(partners(repetition, i)).toEqual([i + 64]);
    for (let i = 44; i < 60; i++) expect(partners(repetition, i)).toEqual([]);
  });

  it('is followed over beats that only one pass has', () => {
    const shorter = [...phrase.slice(0, 18), ...phrase.slice(20)];
    const repetition = findRepetition(profilesOf([...phrase, ...between, ...shorter]));
    for (let i = 0; i < 18; i++) expect(partners(repetition, i)).toEqual([i + 64]);
    for (let i = 20; i < 40; i++) expect(partners(repetition, i)).toEqual([i + 62]);
  });

  it('says nothing where all is alike', () => {
    const repetition = findRepetition(profilesOf(Array<number>(60).fill(5)));
    expect(repetition.others.length).toBe(0);
  });

  it('votes for what its other passes have', () => {
    const repetition = findRepetition(profilesOf([...phrase, ...between, ...phrase]));
    const starts = Float64Array.from({ length: 104 }, (_, i) => (i >= 64 && i % 4 === 0 ? 0.98 : 0.01));
    const votes = repetitionVotes(repetition, starts);
    for (let i = 0; i < 40; i++) expect(Math.sign(votes[i] as number)).toBe(i % 4 === 0 ? 1 : -1);
    expect(votes[50]).toBe(0);
  });
});

describe('a correction', () => {
  /** The second 40 beats repeat the first, or do so up to `until` only. */
  const twice = (until = 40): Repetition => {
    const others = Array.from({ length: 80 }, (_, i) => (i + 40) % 80);
    const weights = Float32Array.from(others, (_, i) => (i % 40 < until ? 1 : 0.2));
    return { offsets: Int32Array.from({ length: 81 }, (_, i) => i), others: Int32Array.from(others), weights };
  };
  const usual = Array.from({ length: 21 }, (_, i) => 4 * i);
  const locked = [0, 4, 6, 10, ...usual.slice(3)];

  it('says nothing where it changes nothing', () => {
    expect(lockVotes(usual, usual, twice(), 80, nowhere)).toBeUndefined();
  });

  it('speaks for the same bar lines at the other pass, and not for its own', () => {
    const votes = lockVotes(usual, locked, twice(), 80, nowhere) as Float32Array;
    const said = (wanted: (vote: number) => boolean): number[] =>
      [...votes.keys()].filter((i) => wanted(votes[i] as number));
    expect(said((vote) => vote > 0)).toEqual([44, 46, 50, 52]);
    expect(said((vote) => vote < 0)).toEqual([45, 47, 48, 49, 51]);
  });

  it('says nothing of a pass that goes on otherwise, or that had other bars', () => {
    expect(lockVotes(usual, locked, twice(6), 80, nowhere)).toBeUndefined();
    const other = [...usual.slice(0, 12), 46, 50, ...usual.slice(13)];
    // Lines that the user spelt out say nothing elsewhere.
    expect(lockVotes(usual, locked, twice(), 80, () => true)).toBeUndefined();
    expect(lockVotes(other, [0, 4, 6, 10, ...other.slice(3)], twice(), 80, nowhere)).toBeUndefined();
  });
});

/** Two passes of a phrase in which one chord lasts six beats, and other music between them. */
function song(): { evidence: Evidence; beats: readonly MadeBeat[]; second: number } {
  const pass = [0, 3, 7, 2, 9, 9, 5, 10, 1, 6, 11, 4];
  const passLengths = [4, 4, 4, 4, 4, 2, 4, 4, 4, 4, 4, 4];
  const middle = [8, 2, 5, 8, 11, 2, 6, 0];
  const chords = [...pass, ...middle, ...pass, 3];
  const lengths = [...passLengths, ...middle.map(() => 4), ...passLengths, 4];
  const beats = madeBeats(lengths, 0.5).map((beat) => ({ ...beat, chord: chords[beat.chord] as number }));
  const evidence = madeEvidence(beats, { duration: 72, plain: true, roots: 12 });
  return { evidence, beats, second: 12 * 4 - 2 + 8 * 4 };
}

function lengthsOf(
  evidence: Evidence,
  locks: readonly Lock[],
  options: SolveOptions = {},
): [start: number, beats: number][] {
  const outcome = solveRhythm(evidence, locks, options);
  if (!outcome.ok) throw new Error('a conflict');
  const bars = outcome.spans.filter((span): span is Bar => span.kind === 'bar');
  return bars.map((bar) => [bar.start, beatsOf(bar.meter)]);
}

describe('one lock', () => {
  it('corrects the same bar at the other pass, and only with repetition', () => {
    const { evidence, beats, second } = song();
    const at = (beat: number): number => beats[beat]?.time as number;
    const near = (bars: readonly [number, number][], time: number): number | undefined =>
      bars.find(([start]) => Math.abs(start - time) < 0.05)?.[1];
    const [here, there] = [at(16), at(second + 16)];
    const free = lengthsOf(evidence, []);
    const found = near(free, here);
    expect(near(free, there)).toBe(found);
    // Six beats or 4 and 2: whichever was found, the other is locked.
    const wanted = found === 6 ? 4 : 6;
    const start = free.find(([time]) => Math.abs(time - here) < 0.05)?.[0] as number;
    const lock: Lock = { id: 'L1', kind: 'bar-length', time: start, meter: parseMeter(`${wanted}/4`) };
    expect(near(lengthsOf(evidence, [lock]), there)).toBe(wanted);
    expect(near(lengthsOf(evidence, [lock], { without: ['repetition'] }), there)).toBe(found);
  });
});
