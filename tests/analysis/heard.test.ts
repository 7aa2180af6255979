import { describe, expect, it } from 'vitest';
import type { Evidence, Track } from '../../src/analysis/evidence/evidence.js';
import { heardNear } from '../../src/analysis/evidence/features/heard.js';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import { madeBeats, madeEvidence } from '../support/made-evidence.js';

const RATE = 50;

/** Probability 0.99 (252 of 255) a little before each time, as the network's peaks lie, 0.02 elsewhere. */
function heardAt(times: readonly number[], duration: number): Track {
  const data = new Uint8Array(Math.ceil(duration * RATE)).fill(5);
  for (const time of times) data[Math.max(0, Math.round((time - 0.01) * RATE))] = 252;
  return { rate: RATE, width: 1, data };
}

describe('what the network says near a time', () => {
  it('is the log odds of the likeliest frame within reach, at most 5 either way', () => {
    const track = heardAt([1], 3);
    expect(heardNear(track, 1, 0.03)).toBeCloseTo(Math.log(252 / 3), 5);
    expect(heardNear(track, 1.2, 0.03)).toBeCloseTo(Math.log(5 / 250), 5);
    expect(heardNear({ ...track, data: new Uint8Array(150).fill(255) }, 1, 0.03)).toBe(5);
    expect(heardNear(track, -9, 0.03)).toBe(-5);
  });
});

describe('evidence with what a network heard', () => {
  // Every beat sounds alike, so that only the network can tell where bars begin.
  const beats = madeBeats([4, 4, 4, 4, 4, 2, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4], 0.5);
  const duration = 32;
  const made = madeEvidence(beats, { duration, plain: true, noHarmony: true });
  const silent = { ...made.tracks.downbeat, data: new Uint8Array(made.tracks.downbeat.data.length) };
  const without: Evidence = { ...made, tracks: { ...made.tracks, downbeat: silent } };
  const downbeats = beats.filter(({ place }) => place === 0).map(({ time }) => time);
  const starts = (evidence: Evidence): number[] => {
    const outcome = solveRhythm(evidence, []);
    if (!outcome.ok) throw new Error('a conflict without locks');
    return outcome.spans.filter((span) => span.kind === 'bar').map((span) => span.start);
  };
  const missed = (found: readonly number[]): number[] =>
    downbeats.filter((time) => !found.some((start) => Math.abs(start - time) < 0.03));

  it('begins bars where the network hears beat 1, that after a shorter bar too', () => {
    const all = beats.map(({ time }) => time);
    const heardBeat = heardAt(all, duration);
    const heard = { ...without.tracks, heardBeat, heardDownbeat: heardAt(downbeats, duration) };
    expect(missed(starts({ ...without, tracks: heard }))).toEqual([]);
  });

  it('is solved without it when there is none, as well as can be', () => {
    const found = starts(without);
    expect(found.length).toBeGreaterThan(10);
    expect(missed(found)).not.toEqual([]);
  });
});
