import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatGrid, type GridMemory } from '../../src/analysis/beats/grid.js';
import type { BeatConstraints } from '../../src/analysis/beats/beat-constraints.js';
import type { Pulse } from '../../src/analysis/beats/pulse.js';
import { seeded } from '../support/made-evidence.js';
import { runs } from '../support/runs.js';

const RATE = 100;

/** A pulse with attacks about every `period` frames, some missing, some stray, noise between, and a long silence. */
function noisyPulse(seed: number, frames: number, period: number): Pulse {
  const random = seeded(seed);
  const worth = Float32Array.from({ length: frames }, () => random() - 0.8);
  for (let t = 10; t < frames; t += period * (0.9 + 0.2 * random()))
    if (random() < 0.8) worth[Math.round(t)] = 2 + 3 * random();
  for (let n = 0; n < frames / 80; n++) worth[Math.floor(frames * random())] = 3;
  // Where nothing sounds a path is better begun anew.
  for (let t = 400; t < 600; t++) worth[t] = -6;
  return { rate: RATE, frames, worth, first: 0, last: frames - 1 };
}

/** Whole quarters of a second or any time, so that locks meet and part again. */
function timeIn(random: () => number, seconds: number): number {
  return random() < 0.5 ? Math.floor(4 * seconds * random()) / 4 : seconds * random();
}

/** The constraints after one more lock, or with one lifted. */
function changed({ required, forbidden }: BeatConstraints, random: () => number, seconds: number): BeatConstraints {
  const time = timeIn(random, seconds);
  switch (Math.floor(5 * random())) {
    case 0:
    case 1:
      return { required: [...new Set([...required, time])].sort((a, b) => a - b), forbidden };
    case 2:
      return { required: required.filter((_, i) => i !== Math.floor(required.length * random())), forbidden };
    case 3:
      return { required, forbidden: [...forbidden, { from: time - 0.07, to: time + 0.07 + (random() < 0.2 ? 2 : 0) }] };
    default:
      return { required, forbidden: forbidden.filter((_, i) => i !== Math.floor(forbidden.length * random())) };
  }
}

describe('beats found with what is remembered of earlier ones', () => {
  it('are the beats found without, through random sequences of locks, curves, ends and worths', () => {
    const any = fc.record({ seed: fc.integer({ min: 0, max: 1e9 }), period: fc.integer({ min: 12, max: 90 }) });
    fc.assert(
      fc.property(any, ({ seed, period }) => {
        const random = seeded(seed);
        const frames = 1500;
        const pulse = noisyPulse(seed, frames, period);
        const curves = [1, 1, 0.5].map((share) =>
          Float32Array.from({ length: frames }, (_, t) => share * period * (1 + 0.1 * Math.sin(t / 200))),
        );
        const memory: GridMemory = { passes: [] };
        let constraints: BeatConstraints = { required: [], forbidden: [] };
        for (let step = 0; step < 12; step++) {
          constraints = changed(constraints, random, frames / RATE);
          const curve = curves[random() < 0.8 ? 0 : Math.floor(3 * random())] as Float32Array;
          const from = random() < 0.8 ? 0 : 300;
          const to = random() < 0.8 ? frames - 1 : 1200;
          const worth = random() < 0.7 ? pulse.worth : Float32Array.from(pulse.worth);
          if (worth !== pulse.worth) for (let t = 700; t < 800; t++) worth[t] = random();
          const ask = (remembered?: GridMemory) =>
            beatGrid({ ...pulse, worth }, curve, from, to, constraints, remembered);
          expect(ask(memory)).toEqual(ask());
        }
      }),
      { numRuns: runs(60) },
    );
  });
});
