import { describe, expect, it } from 'vitest';
import type { Evidence } from '../../../src/analysis/evidence/evidence.js';
import { addTap, nearestAttack, tapLock } from '../../../src/app/map/taps.js';
import type { Tapping } from '../../../src/app/kit/session.js';
import { flatEvidence } from '../../support/songs.js';

/** Evidence with one attack at each time, 100 frames a second, its peak between frames where the time lies there. */
function withAttacks(...times: readonly number[]): Evidence {
  const evidence = flatEvidence(20);
  const data = new Uint8Array(2000 * 5);
  for (const time of times) {
    for (let frame = 0; frame < 2000; frame += 1) {
      const distance = frame - time * 100;
      // A parabola, so that its top is exactly at the time.
      const strength = Math.max(0, 200 - 40 * distance * distance);
      for (let band = 0; band < 5; band += 1) data[frame * 5 + band] = Math.max(data[frame * 5 + band] ?? 0, strength);
    }
  }
  return { ...evidence, tracks: { ...evidence.tracks, onset: { rate: 100, width: 5, data } } };
}

const whole = { snap: true, from: 0, to: 20 };

describe('the attack a tap moves to', () => {
  it.each([5, 5.004, 4.996])('is found to a fraction of a frame: %f s', (time) => {
    expect(nearestAttack(withAttacks(time), 5.03)).toBeCloseTo(time, 3);
  });

  it('is at most 70 ms away', () => {
    expect(nearestAttack(withAttacks(5), 5.07)).toBeCloseTo(5, 3);
    expect(nearestAttack(withAttacks(5), 5.08)).toBe(5.08);
    expect(nearestAttack(withAttacks(5), 4.92)).toBe(4.92);
  });

  it('is none in silence', () => {
    expect(nearestAttack(flatEvidence(20), 5)).toBe(5);
  });
});

describe('taps', () => {
  const none: Tapping = { beats: [], downbeats: [] };

  it('collect beats, with those that are a beat 1', () => {
    const taps = [1, 1.5, 2].reduce((all, time, i) => addTap(all, time, i === 0), none);
    expect(taps).toEqual({ beats: [1, 1.5, 2], downbeats: [1] });
  });

  it('start anew from where the user went back to', () => {
    const taps = [1, 1.5, 2, 2.5, 1.6, 2.1].reduce((all, time) => addTap(all, time, true), none);
    expect(taps).toEqual({ beats: [1, 1.5, 2.1], downbeats: [1, 1.5, 2.1] });
  });

  it('become one lock on the attacks', () => {
    const evidence = withAttacks(5, 5.5, 6);
    const lock = tapLock({ beats: [5.03, 5.46, 6.06], downbeats: [5.03] }, evidence, whole);
    expect(lock?.beats.map((time) => Number(time.toFixed(3)))).toEqual([5, 5.5, 6]);
    expect(lock?.downbeats).toEqual([lock?.beats[0]]);
  });

  it('stay where they were tapped when that is wanted', () => {
    const taps = { beats: [5.03, 5.46], downbeats: [] };
    expect(tapLock(taps, withAttacks(5, 5.5), { ...whole, snap: false })?.beats).toEqual([5.03, 5.46]);
  });

  it('never fall together on one attack', () => {
    const lock = tapLock({ beats: [5.06, 5.22], downbeats: [] }, withAttacks(5.1, 5.16), whole);
    expect(lock?.beats).toHaveLength(2);
    expect(lock!.beats[1]! - lock!.beats[0]!).toBeGreaterThan(0.07);
  });

  it('make no lock of fewer than two inside the map', () => {
    expect(tapLock({ beats: [5], downbeats: [] }, flatEvidence(20), whole)).toBeUndefined();
    expect(tapLock({ beats: [5, 9], downbeats: [] }, flatEvidence(20), { ...whole, to: 8 })).toBeUndefined();
  });
});
