import { describe, expect, it } from 'vitest';
import { snapToAttacks } from '../../src/analysis/beats/attack.js';
import type { FoundBeat } from '../../src/analysis/beats/grid.js';
import type { Track } from '../../src/analysis/evidence/evidence.js';
import { median } from '../../src/dsp/series.js';
import { seeded } from '../support/made-evidence.js';

const RATE = 100;

interface Attack {
  readonly time: number;
  /** 0 to 255. */
  readonly strength: number;
}

/** A beat track as the analysis makes it: a bump three frames wide whose top is the attack's time. */
function trackOf(attacks: readonly Attack[], seconds: number): Track {
  const data = new Uint8Array(Math.ceil(seconds * RATE));
  for (const { time, strength } of attacks) {
    const centre = time * RATE;
    for (let i = Math.ceil(centre - 1.6); i <= centre + 1.6; i++)
      data[i] = Math.max(data[i] as number, Math.round(strength * (1 - ((i - centre) / 1.6) ** 2)));
  }
  return { rate: RATE, width: 1, data };
}

/** Beats as the grid finds them, to the frame. */
const coarse = (times: readonly number[]): FoundBeat[] =>
  times.map((time) => ({ time: Math.round(time * RATE) / RATE, exact: false }));

/** `count` beats from 0.5 s on whose length goes evenly from `first` to `last` seconds. */
function drifting(count: number, first: number, last: number): number[] {
  const times = [0.5];
  for (let i = 1; i < count; i++) times.push((times[i - 1] as number) + first + ((last - first) * i) / count);
  return times;
}

const errors = (found: readonly FoundBeat[], truth: readonly number[]): number[] =>
  found.map((beat, i) => Math.abs(beat.time - (truth[i] as number)));

describe('beats moved to their attacks', () => {
  it.each([
    [0.5, 0.5],
    [0.27, 0.27],
    [1.5, 1.5],
    [0.5, 0.6],
    [0.4, 0.3],
  ])('lie within a millisecond of them, beats of %f to %f s', (first, last) => {
    const truth = drifting(40, first, last);
    const track = trackOf(
      truth.map((time) => ({ time, strength: 200 })),
      80,
    );
    expect(median(errors(snapToAttacks(coarse(truth), track), truth))).toBeLessThan(0.001);
  });

  it('follow a player whose every beat is a little off', () => {
    const random = seeded(4);
    const truth = drifting(60, 0.5, 0.5).map((time) => time + 0.03 * (random() - 0.5));
    const track = trackOf(
      truth.map((time) => ({ time, strength: 150 + 100 * random() })),
      40,
    );
    const found = errors(snapToAttacks(coarse(truth), track), truth);
    expect(median(found)).toBeLessThan(0.001);
    expect(found.filter((error) => error < 0.005).length).toBeGreaterThan(50);
  });

  it('do not follow an ornament or a late player past the beat, however loud', () => {
    const truth = drifting(40, 0.5, 0.52);
    const attacks = truth.map((time, i) =>
      i % 5 === 3 ? { time: time + (i % 2 === 0 ? 0.024 : -0.027), strength: 255 } : { time, strength: 160 },
    );
    // Ornaments beside a beat that sounds as well: then that is where the beat goes.
    const also = truth.filter((_, i) => i % 10 === 3).map((time) => ({ time, strength: 120 }));
    const found = snapToAttacks(coarse(truth), trackOf([...attacks, ...also], 30));
    expect(Math.max(...errors(found, truth))).toBeLessThan(0.006);
  });

  it('stay on a smooth grid where nothing is struck', () => {
    const truth = drifting(40, 0.5, 0.48);
    const sounding = truth.filter((_, i) => i % 4 !== 2);
    const track = trackOf(
      sounding.map((time) => ({ time, strength: 180 })),
      30,
    );
    const rough = truth.map((time, i) => ({ time: time + (i % 4 === 2 ? 0.018 : 0), exact: false }));
    expect(Math.max(...errors(snapToAttacks(rough, track), truth))).toBeLessThan(0.005);
    const silent = trackOf([], 30);
    expect(snapToAttacks(coarse(truth), silent)).toEqual(coarse(truth));
  });

  it('leave what a lock holds, and go where a change of tempo or a lengthened beat is', () => {
    const truth = [...drifting(12, 0.5, 0.5), 6.35, 6.85, 7.35, 7.85, 8.35, 8.85];
    const track = trackOf(
      truth.map((time) => ({ time, strength: 200 })),
      12,
    );
    const beats = coarse(truth).map((beat, i) => (i === 5 ? { time: beat.time + 0.02, exact: true } : beat));
    const found = snapToAttacks(beats, track);
    expect(found[5]).toEqual(beats[5]);
    expect(Math.max(...errors(found, truth).filter((_, i) => i !== 5))).toBeLessThan(0.002);
  });
});
