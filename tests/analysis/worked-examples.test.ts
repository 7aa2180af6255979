import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatGrid } from '../../src/analysis/beats/grid.js';
import { TIGHTNESS } from '../../src/analysis/beats/grid-pass.js';
import { decode } from '../../src/analysis/chords/decode.js';
import { runs } from '../support/runs.js';

/**
 * The umbrella world of Russell & Norvig, "Artificial Intelligence: A Modern Approach", 3rd edition, chapter 15: it rains
 * on day 1 with 0.5, tomorrow is like today with 0.7, an umbrella is seen with 0.9 in rain and with 0.2 without. Rabiner
 * (1989), whose algorithms these are, works no example through with numbers. The results are those of the book,
 * from memory, to the three digits it prints.
 */
function umbrella(seen: string, sameDay: number): ReturnType<typeof decode> {
  const scores = [...seen].flatMap((day) => (day === 'U' ? [0.9, 0.2] : [0.1, 0.8])).map(Math.log);
  // A change costs so much that staying is to changing as 0.7 to 0.3, once the ways that change into the same state count.
  const costs = Float64Array.from(seen, () => Math.log(0.5) - Math.log(sameDay));
  return decode(Float64Array.from(scores), costs, Float64Array.of(Math.log(0.5), Math.log(0.5)), Int32Array.of(0, 1));
}
/** (1 + w) / w = 0.7 / 0.3 where both kinds of staying are added up, 1 / w = 0.7 / 0.3 where the better one is taken. */
const ADDED = 0.75;
const BETTER = 0.3 / 0.7;

describe('the umbrella world', () => {
  it('has rain on both of two days with an umbrella: 0.883 each, smoothed', () => {
    const { path, posterior } = umbrella('UU', ADDED);
    expect([...path]).toEqual([0, 0]);
    expect(posterior[0]).toBeCloseTo(0.883, 3);
    expect(posterior[1]).toBeCloseTo(0.883, 3);
  });

  it('has rain on one day with an umbrella: 0.818', () => {
    expect(umbrella('U', ADDED).posterior[0]).toBeCloseTo(0.818, 3);
  });

  it('has rain but for the third day as the likeliest sequence of U U - U U', () => {
    expect([...umbrella('UU-UU', BETTER).path]).toEqual([0, 0, 1, 0, 0]);
  });
});

/** Ellis's objective: the onset strength at all beats less the squared log ratio of each interval to the target length. */
function objective(beats: readonly number[], strength: ArrayLike<number>, target: number): number {
  return beats.reduce((sum, beat, i) => {
    const before = beats[i - 1];
    const apart = before === undefined ? 0 : TIGHTNESS * Math.log((beat - before) / target) ** 2;
    return sum + (strength[beat] as number) - apart;
  }, 0);
}

/** The best value of the objective over all sequences that end within 1.2 beats of the end and skip no beat. */
function exhaustively(strength: ArrayLike<number>, target: number): number {
  const count = strength.length;
  let best = -Infinity;
  const go = (beats: readonly number[]): void => {
    const last = beats[beats.length - 1] as number;
    if (last >= count - 1 - Math.round(1.2 * target)) best = Math.max(best, objective(beats, strength, target));
    for (let step = Math.max(2, Math.round(0.6 * target)); step <= Math.round(1.65 * target); step++)
      if (last + step < count) go([...beats, last + step]);
  };
  for (let i = 0; i < count; i++) go([i]);
  return best;
}

// Ellis, "Beat tracking by dynamic programming", JNMR 2007, equations 1 to 5; he gives code but no example in numbers.
describe('beats by dynamic programming', () => {
  const grid = (strength: readonly number[], target: number): number[] => {
    const frames = strength.length;
    const pulse = { rate: 1, frames, worth: Float32Array.from(strength), first: 0, last: frames - 1 };
    const curve = new Float32Array(frames).fill(target);
    return beatGrid(pulse, curve, 0, frames - 1, { required: [], forbidden: [] }).map(({ time }) => time);
  };

  it('are those that make his objective largest, of all sequences there are', () => {
    const any = fc.record({
      target: fc.constantFrom(4, 5, 6),
      // Strengths as large as the price of an uneven beat, so that both decide.
      strength: fc.array(fc.integer({ min: 0, max: 4000 }), { minLength: 8, maxLength: 26 }),
    });
    fc.assert(
      fc.property(any, ({ target, strength }) => {
        const worth = strength.map((x) => Math.fround(x / 100));
        expect(objective(grid(worth, target), worth, target)).toBeCloseTo(exhaustively(worth, target), 4);
      }),
      { numRuns: runs(60) },
    );
  });

  it('go through a stronger attack beside the even place only when it is worth the uneven beats', () => {
    // Even beats at 0, 10, ... 40; an attack at 21 makes intervals of 11 and 9: the price is 160 (ln 1.1)² + 160 (ln 0.9)².
    const price = TIGHTNESS * (Math.log(1.1) ** 2 + Math.log(0.9) ** 2);
    const strength = (extra: number): number[] =>
      Array.from({ length: 41 }, (_, i) => (i === 21 ? 10 + extra : i % 10 === 0 ? 10 : 0));
    expect(grid(strength(price - 0.1), 10)).toEqual([0, 10, 20, 30, 40]);
    expect(grid(strength(price + 0.1), 10)).toEqual([0, 10, 21, 30, 40]);
  });
});
