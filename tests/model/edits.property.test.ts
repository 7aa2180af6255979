import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { check } from '../../src/model/invariants.js';
import { runs } from '../support/runs.js';
import { applyEdit, editArbitrary, EDIT_NAMES, mapArbitrary } from '../support/arbitraries.js';

describe('any sequence of edits', () => {
  it('starts from sound maps', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        expect(check(map)).toEqual([]);
      }),
    );
  });

  it.each(EDIT_NAMES)('%s leaves a sound map', (name) => {
    fc.assert(
      fc.property(mapArbitrary(), editArbitrary([name]), editArbitrary([name]), (map, one, two) => {
        expect(check(applyEdit(applyEdit(map, one), two))).toEqual([]);
      }),
      { numRuns: runs(40) },
    );
  });

  it('keeps the invariants after each edit, and the ids of locks apart', () => {
    fc.assert(
      fc.property(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 12 }), (map, edits) => {
        let now = map;
        for (const edit of edits) {
          now = applyEdit(now, edit);
          expect(check(now)).toEqual([]);
        }
      }),
      { numRuns: runs(150) },
    );
  });
});
