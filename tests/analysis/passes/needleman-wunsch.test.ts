import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alignGlobally, type AlignedPair, type GapCosts } from '../../../src/analysis/passes/needleman-wunsch.js';
import { runs } from '../../support/runs.js';

const LINEAR: GapCosts = { open: 1, extend: 1, openEdge: 1 };

function align(a: string, b: string, gaps: GapCosts = LINEAR, mismatch = 1) {
  const costs = [...a].flatMap((x) => [...b].map((y) => (x === y ? 0 : mismatch)));
  return alignGlobally(costs, a.length, b.length, gaps);
}

/** Both lists one above the other, "-" for a gap. */
function shown(a: string, b: string, pairs: readonly AlignedPair[]): [string, string] {
  return [
    pairs.map(([i]) => (i === null ? '-' : a.charAt(i))).join(''),
    pairs.map(([, j]) => (j === null ? '-' : b.charAt(j))).join(''),
  ];
}

describe('global alignment', () => {
  it('costs as much as the edit distance where a gap and a mismatch cost the same', () => {
    // Wagner & Fischer 1974 define the distance; kitten/sitting 3 and saturday/sunday 3 are its usual worked examples (from memory).
    expect(align('kitten', 'sitting').cost).toBe(3);
    expect(align('saturday', 'sunday').cost).toBe(3);
    expect(align('', 'abc').cost).toBe(3);
  });

  it('gives the score of the usual example of Needleman & Wunsch', () => {
    // GCATGCG and GATTACA with 1 a match, -1 a mismatch, -1 a gap score 0 (worked example, from memory): with costs of
    // (1 - score) a pair of letters and 1.5 a gap, cost = (7 + 7) / 2 - score.
    const costs = [...'GCATGCG'].flatMap((x) => [...'GATTACA'].map((y) => (x === y ? 0 : 2)));
    expect(alignGlobally(costs, 7, 7, { open: 1.5, extend: 1.5, openEdge: 1.5 }).cost).toBe(7);
  });

  it('puts gaps as late as it can among equals', () => {
    expect(shown('aaa', 'aa', align('aaa', 'aa').pairs)).toEqual(['aaa', 'aa-']);
    expect(shown('xaax', 'xax', align('xaax', 'xax').pairs)).toEqual(['xaax', 'xa-x']);
  });

  it('keeps a run of gaps together where opening one costs more than going on', () => {
    const { pairs } = align('abcdefgh', 'abgh', { open: 1, extend: 0.2, openEdge: 1 });
    expect(shown('abcdefgh', 'abgh', pairs)).toEqual(['abcdefgh', 'ab----gh']);
  });

  it('lets the end hang over where that costs less', () => {
    const { pairs, cost } = align('abca', 'abc', { open: 2, extend: 1, openEdge: 0.5 });
    expect(shown('abca', 'abc', pairs)).toEqual(['abca', 'abc-']);
    expect(cost).toBe(0.5);
  });

  it('says what is wrong with the costs', () => {
    expect(() => alignGlobally([0, 1], 2, 2, LINEAR)).toThrow(/2 by 2 items need 4/);
  });

  it('has every item once, in order, and is as cheap the other way round', () => {
    const word = fc.stringMatching(/^[abc]{0,9}$/);
    const gaps = fc.record({
      open: fc.integer({ min: 1, max: 6 }),
      extend: fc.integer({ min: 1, max: 3 }),
      openEdge: fc.integer({ min: 1, max: 6 }),
    });
    fc.assert(
      fc.property(word, word, gaps, (a, b, costs) => {
        const { pairs, cost } = align(a, b, costs, 3);
        expect(pairs.flatMap(([i]) => (i === null ? [] : [i]))).toEqual([...a].map((_, i) => i));
        expect(pairs.flatMap(([, j]) => (j === null ? [] : [j]))).toEqual([...b].map((_, j) => j));
        expect(pairs.some(([i, j]) => i === null && j === null)).toBe(false);
        expect(align(b, a, costs, 3).cost).toBeCloseTo(cost, 9);
      }),
      { numRuns: runs(200) },
    );
  });
});
