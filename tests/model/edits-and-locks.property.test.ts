import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planShift } from '../../src/model/edits/shift.js';
import { lockStretch } from '../../src/model/lock-stretch.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { applyEdit, editArbitrary, EDIT_NAMES, mapArbitrary, type RandomEdit } from '../support/arbitraries.js';
import { runs } from '../support/runs.js';

describe('an edit', () => {
  /** True when the edit is a shift of bar lines, that on `line` among them. */
  function hasMoved(song: SongMap, { name, a, n }: RandomEdit, line: number): boolean {
    if (name !== 'shiftFrom' && name !== 'shiftAll') return false;
    const all = barsOf(song);
    const from = name === 'shiftFrom' ? Math.floor(a * all.length) : undefined;
    const { first, last } = planShift(song, from, n > 3 ? 1 : -1);
    return all.slice(first, last + 1).some(({ start }) => start === line);
  }

  it('leaves every lock alone that lies elsewhere than the one it adds', () => {
    const adding = EDIT_NAMES.filter((name) => !/halve|double|lift|moveBeat/.test(name));
    const edits = (maxLength: number): fc.Arbitrary<RandomEdit[]> =>
      fc.array(editArbitrary(adding), { minLength: 1, maxLength });
    fc.assert(
      fc.property(mapArbitrary(), edits(8), (song, list) => {
        let now = song;
        for (const edit of list) {
          const next = applyEdit(now, edit);
          const added = next.locks.filter((lock) => !now.locks.includes(lock));
          const gone = now.locks.filter((lock) => !next.locks.includes(lock));
          for (const lost of gone) {
            const { from, to } = lockStretch(lost);
            const near = added.some((lock) => {
              const own = lockStretch(lock);
              return own.from <= to + 0.07 && own.to >= from - 0.07;
            });
            // Bar lines moved before that move on leave no lock where they were.
            const moved = lost.kind === 'bar-lines' && lost.starts.some((line) => hasMoved(now, edit, line));
            // A lock of a single kind and place, or a piece of the old lock itself.
            const same = added.some((lock) => lock.kind === 'edge' && lost.kind === 'edge');
            expect(near || same || moved, `${edit.name} took ${JSON.stringify(lost)}`).toBe(true);
          }
          now = next;
        }
      }),
      { numRuns: runs(80) },
    );
  });

  it('of sections and chords touches no lock, one of bars and beats no typed chord or named section elsewhere', () => {
    const marking = EDIT_NAMES.filter((name) => /Section|Chords|Swing/.test(name));
    fc.assert(
      fc.property(
        mapArbitrary(),
        fc.array(editArbitrary(), { maxLength: 5 }),
        editArbitrary(marking),
        (song, list, last) => {
          const before = list.reduce(applyEdit, song);
          const now = applyEdit(before, last);
          expect(now.locks).toBe(before.locks);
          expect(now.spans).toBe(before.spans);
        },
      ),
      { numRuns: runs(60) },
    );
    const rhythm = EDIT_NAMES.filter((name) => !/Section|Chords|Swing|setStart|setEnd|moveBeat/.test(name));
    fc.assert(
      fc.property(
        mapArbitrary(),
        fc.array(editArbitrary(), { maxLength: 5 }),
        editArbitrary(rhythm),
        (song, list, last) => {
          const before = list.reduce(applyEdit, song);
          const now = applyEdit(before, last);
          expect(now.chords).toEqual(before.chords);
          expect(now.sections).toEqual(before.sections);
        },
      ),
      { numRuns: runs(60) },
    );
  });
});
