import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatGrid } from '../../src/analysis/beats/grid.js';
import { pulseOf } from '../../src/analysis/beats/pulse.js';
import { tempoCandidates } from '../../src/analysis/meter/tempo-candidates.js';
import { trackTempo } from '../../src/analysis/beats/tempo-tracker.js';
import { madeBeats, madeEvidence } from '../support/made-evidence.js';
import { runs } from '../support/runs.js';

const NOTHING = { required: [], forbidden: [] };

function pulses(bpm: number, first: number, drift = 0) {
  const period = (beat: number): number => (60 / bpm) * (1 + drift * Math.sin(beat / 12));
  const beats = madeBeats(Array<number>(Math.ceil((bpm / 60) * 6)).fill(4), period, first);
  const duration = (beats[beats.length - 1]?.time ?? 0) + 1;
  return { beats, pulse: pulseOf(madeEvidence(beats, { duration, plain: true })) };
}

/** Share of `truth` with a found beat within 15 ms. */
function hitShare(found: readonly number[], truth: readonly number[]): number {
  return truth.filter((time) => found.some((beat) => Math.abs(beat - time) < 0.015)).length / truth.length;
}

describe('tracking beats', () => {
  it('finds pulse trains of 40 to 220 beats a minute, steady and drifting, from any offset', () => {
    const any = fc.record({
      bpm: fc.integer({ min: 40, max: 220 }),
      first: fc.double({ min: 0, max: 1.5, noNaN: true }),
      drift: fc.constantFrom(0, 0.03, 0.06),
    });
    fc.assert(
      fc.property(any, ({ bpm, first, drift }) => {
        const { beats, pulse } = pulses(bpm, first, drift);
        const path = trackTempo(pulse, (60 / bpm) * pulse.rate);
        const times = beats.map(({ time }) => time);
        expect(
          hitShare(
            Array.from(path.frames, (frame) => frame / pulse.rate),
            times,
          ),
        ).toBeGreaterThan(0.97);
      }),
      { numRuns: runs(25) },
    );
  });

  it('names the pulse among its tempo candidates', () => {
    for (const bpm of [48, 75, 96, 120, 151, 190, 219]) {
      const periods = tempoCandidates(pulses(bpm, 0.3).pulse).map(({ period }) => period);
      const nearest = Math.min(...periods.map((period) => Math.abs(Math.log((period * bpm) / 60))));
      expect({ bpm, near: nearest < 0.025, periods }).toMatchObject({ bpm, near: true });
    }
  });

  it('follows the target length where nothing sounds, and the pulse where it does', () => {
    // Ellis 2007: the squared log ratio to the target keeps beats even where the onset strength is flat.
    const frames = 1000;
    const worth = new Float32Array(frames);
    const even = beatGrid(
      { rate: 100, frames, worth, first: 0, last: frames - 1 },
      new Float32Array(frames).fill(50),
      0,
      frames - 1,
      { required: [1], forbidden: [] },
    );
    expect(even.map(({ time }) => Math.round(time * 100) % 50)).toEqual(even.map(() => 0));
    for (let t = 7; t < frames; t += 46) worth[t] = 3;
    const pulled = beatGrid(
      { rate: 100, frames, worth, first: 0, last: frames - 1 },
      new Float32Array(frames).fill(50),
      0,
      frames - 1,
      NOTHING,
    );
    expect(pulled.slice(2).every(({ time }) => Math.round(time * 100 - 7) % 46 === 0)).toBe(true);
  });

  it('adds a beat without driving its neighbours away, and deletes one without moving them', () => {
    const { beats, pulse } = pulses(120, 0.5);
    const curve = new Float32Array(pulse.frames).fill(50);
    const grid = (required: number[], forbidden: { from: number; to: number }[]) =>
      beatGrid(pulse, curve, pulse.first, pulse.last, { required, forbidden }).map(
        ({ time }) => Math.round(time * 100) / 100,
      );
    const usual = grid([], []);
    const at = beats[9]?.time ?? 0;
    expect(grid([at + 0.25], [])).toEqual([...usual, at + 0.25].sort((a, b) => a - b));
    expect(grid([], [{ from: at - 0.07, to: at + 0.07 }])).toEqual(usual.filter((time) => Math.abs(time - at) > 0.01));
    expect(grid([], [{ from: at - 0.07, to: at + 1.07 }])).toEqual(
      usual.filter((time) => time < at - 0.01 || time > at + 1.01),
    );
  });
});
