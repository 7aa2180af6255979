import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { minimalConflict } from '../../src/analysis/locks/minimal-conflict.js';
import { runs } from '../support/runs.js';

describe('a minimal conflict', () => {
  it('is a smallest set that cannot hold, in the order given', () => {
    const subsets = fc.uniqueArray(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(fc.array(subsets, { minLength: 1, maxLength: 3 }), (conflicts) => {
        const items = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9];
        const canHold = (some: readonly number[]): boolean =>
          !conflicts.some((conflict) => conflict.every((item) => some.includes(item)));
        const found = minimalConflict(items, canHold);
        expect(canHold(found)).toBe(false);
        for (const item of found) expect(canHold(found.filter((other) => other !== item))).toBe(true);
        expect(found).toEqual([...found].sort((a, b) => a - b));
      }),
      { numRuns: runs(200) },
    );
  });

  it('is one also where a part of what holds may not hold', () => {
    fc.assert(
      fc.property(fc.func(fc.boolean()), (holdsAt) => {
        const items = [0, 1, 2, 3, 4];
        const canHold = (some: readonly number[]): boolean =>
          some.length === 0 || (some.length < items.length && holdsAt(some.join(' ')));
        const found = minimalConflict(items, canHold);
        expect(canHold(found)).toBe(false);
        for (const item of found) expect(canHold(found.filter((other) => other !== item))).toBe(true);
      }),
      { numRuns: runs(200) },
    );
  });

  it('asks few questions of many items', () => {
    const items = Array.from({ length: 200 }, (_, i) => i);
    let asked = 0;
    const found = minimalConflict(items, (some) => {
      asked++;
      return !(some.includes(3) && some.includes(199));
    });
    expect(found).toEqual([3, 199]);
    expect(asked).toBeLessThan(40);
  });
});
