import { describe, expect, it } from 'vitest';
import { LateBlocks } from '../../src/dsp/late-blocks.js';

const RATE = 48000;
const BLOCK = 128;

/** Blocks asked for in bursts as an output does, its clock a little fast; `gaps`: seconds the output stood still after a burst. */
function missed(burst: number, drift: number, gaps: Readonly<Record<number, number>> = {}): number {
  const late = new LateBlocks(RATE);
  let stood = 0;
  for (let b = 0; b < 3000; b++) {
    stood += gaps[b] ?? 0;
    for (let k = 0; k < burst; k++) {
      const frame = (b * burst + k) * BLOCK;
      const due = ((b * burst * BLOCK) / RATE) * (1 + drift) + stood + k * 0.0002;
      late.block(Math.round(due * 1000) / 1000, frame, BLOCK);
    }
  }
  return late.missed;
}

describe('blocks missed', () => {
  it.each([
    [1, 0],
    [4, 1e-4],
    [16, -1e-4],
  ])('are none while the output is served, in bursts of %i with a clock that is off by %f', (burst, drift) => {
    expect(missed(burst, drift)).toBe(0);
  });

  it('are as many as the output went without', () => {
    const half = Math.round((0.5 * RATE) / BLOCK);
    expect(Math.abs(missed(4, 1e-4, { 700: 0.5 }) - half)).toBeLessThan(6);
    expect(Math.abs(missed(4, 1e-4, { 700: 0.5, 2000: 0.5 }) - 2 * half)).toBeLessThan(12);
  });
});
