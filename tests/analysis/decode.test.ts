import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decode } from '../../src/analysis/chords/decode.js';

interface Case {
  readonly scores: Float64Array;
  readonly costs: Float64Array;
  readonly priors: Float64Array;
}

const cases = fc.integer({ min: 1, max: 5 }).chain((beats) =>
  fc.integer({ min: 2, max: 3 }).chain((size) => {
    const number = fc.double({ min: -3, max: 3, noNaN: true });
    return fc
      .tuple(
        fc.array(number, { minLength: beats * size, maxLength: beats * size }),
        fc.array(fc.double({ min: 0, max: 4, noNaN: true }), { minLength: beats, maxLength: beats }),
        fc.array(number, { minLength: size, maxLength: size }),
      )
      .map(([scores, costs, priors]): Case => ({
        scores: Float64Array.from(scores),
        costs: Float64Array.from(costs),
        priors: Float64Array.from(priors),
      }));
  }),
);

/** Every way through the chain with its weight: staying free, or changing (to the same state too) at its cost. */
function everyWay({ scores, costs, priors }: Case): { path: number[]; log: number }[] {
  const size = priors.length;
  let ways = [...priors].map((prior, s) => ({ path: [s], log: prior + scores[s]! }));
  for (let i = 1; i < costs.length; i++) {
    ways = ways.flatMap(({ path, log }) =>
      [...priors].flatMap((prior, s) => {
        const score = scores[i * size + s]!;
        const change = { path: [...path, s], log: log - costs[i]! + prior + score };
        return s === path.at(-1) ? [change, { path: [...path, s], log: log + score }] : [change];
      }),
    );
  }
  return ways;
}

describe('decode', () => {
  it('finds the best of all ways', () => {
    fc.assert(
      fc.property(cases, (c) => {
        const { path } = decode(
          c.scores,
          c.costs,
          c.priors,
          Int32Array.from(c.priors, (_, i) => i),
        );
        const ways = everyWay(c);
        const best = Math.max(...ways.map((way) => way.log));
        const found = ways.filter((way) => way.path.join() === [...path].join()).map((way) => way.log);
        expect(Math.max(...found)).toBeCloseTo(best, 9);
      }),
    );
  });

  it('gives the posterior that counting all ways gives, by state and by family', () => {
    fc.assert(
      fc.property(cases, fc.boolean(), (c, together) => {
        const families = Int32Array.from(c.priors, (_, i) => (together ? Math.min(i, 1) : i));
        const { path, posterior } = decode(c.scores, c.costs, c.priors, families);
        const ways = everyWay(c);
        path.forEach((state, i) => {
          let all = 0;
          let same = 0;
          for (const way of ways) {
            all += Math.exp(way.log);
            if (families[way.path[i]!] === families[state]) same += Math.exp(way.log);
          }
          expect(posterior[i]).toBeCloseTo(same / all, 9);
        });
      }),
    );
  });

  it('says what does not fit', () => {
    expect(() => decode(new Float64Array(5), new Float64Array(2), new Float64Array(3), new Int32Array(3))).toThrow(
      'decode: found 5 scores',
    );
  });
});
