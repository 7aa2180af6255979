import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packedSound, unpacked } from '../../src/dsp/packed-sound.js';

const kept = (...channels: number[][]) => {
  const sound = packedSound({ sampleRate: 8000, channels: channels.map((samples) => Float32Array.from(samples)) });
  return { sound, samples: channels.map((_, c) => [...unpacked(sound, c)]) };
};

describe('sound as it is kept', () => {
  it('gives 16-bit sound back as it was, however quiet', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -32768, max: 32767 }), { minLength: 1 }), (numbers) => {
        const samples = numbers.map((number) => number / 32768);
        expect(kept(samples).samples[0]!.map((x) => x + 0)).toEqual(samples.map((x) => x + 0));
      }),
    );
  });

  it('is nowhere off by more than half a unit, which is 1 in 16,384 of the loudest sample at most', () => {
    const sample = fc.float({ min: -4, max: 4, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(sample, sample), { minLength: 1, maxLength: 50 }), (pairs) => {
        const sides = [0, 1].map((side) => pairs.map((pair) => Math.fround(pair[side]!)));
        const { sound, samples } = kept(...sides);
        sides.forEach((side, c) =>
          side.forEach((x, i) => expect(Math.abs(samples[c]![i]! - x)).toBeLessThanOrEqual(sound.unit / 2)),
        );
        const loudest = Math.max(...sides.flat().map(Math.abs));
        if (loudest > 1e-6) expect(sound.unit).toBeLessThan((1.0001 * loudest) / 2 ** 14);
      }),
    );
  });

  it('keeps full scale, more than full scale, and silence', () => {
    expect(kept([1, -1, 0.25]).samples[0]).toEqual([1, -1, 0.25]);
    expect(kept([0], [2.5]).samples).toEqual([[0], [2.5]]);
    expect(kept([0, 0]).samples[0]).toEqual([0, 0]);
  });
});
