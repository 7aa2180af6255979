import fc from 'fast-check';
import { applyPatch } from 'rfc6902';
import { describe, expect, it } from 'vitest';
import * as h from '../../src/model/history.js';
import { patchBetween, patched, PatchProblem } from '../../src/model/map-patch.js';
import { sameValue } from '../../src/model/same-value.js';
import type { SongMap } from '../../src/model/song-map.js';
import { setBarBeats } from '../../src/model/edits/bars.js';
import { doubleTempo } from '../../src/model/edits/level.js';
import { applyEdit, editArbitrary, mapArbitrary, type RandomEdit } from '../support/arbitraries.js';
import { bars, text } from '../support/notation.js';
import { runs } from '../support/runs.js';

const edits = (maxLength = 12): fc.Arbitrary<RandomEdit[]> => fc.array(editArbitrary(), { maxLength });

/** Plain data as it comes back from a file. */
function throughJson<T>(value: T): T {
  return JSON.parse(JSON.stringify(value)) as T;
}

function historyOf(map: SongMap, list: readonly RandomEdit[]): h.History {
  return list.reduce(
    (history, edit) => h.pushMap(history, edit.name, applyEdit(h.currentMap(history), edit)),
    h.startHistory(map),
  );
}

describe('the history', () => {
  it('undoes to exactly the maps before and redoes to exactly those after', () => {
    fc.assert(
      fc.property(mapArbitrary(), edits(), (map, list) => {
        const maps = list.reduce<SongMap[]>((all, edit) => [...all, applyEdit(all[all.length - 1]!, edit)], [map]);
        let history = historyOf(map, list);
        for (let i = maps.length - 1; i >= 0; i--, history = h.undo(history)) {
          expect(h.currentMap(history)).toEqual(maps[i]);
        }
        for (const expected of maps) {
          expect(h.currentMap(history)).toEqual(expected);
          history = h.redo(history);
        }
      }),
      { numRuns: runs(40) },
    );
  });

  it('forgets what could be redone when something new is done', () => {
    const [a, b, c] = [bars('4 4'), bars('4 3'), bars('4 2')];
    const history = h.pushMap(h.undo(h.pushMap(h.startHistory(a), 'three', b)), 'two', c);
    expect(history.steps.map(({ label }) => label)).toEqual(['First map', 'two']);
    expect(text(h.currentMap(h.redo(history)))).toBe('4 2');
  });

  it('says what undo and redo would do', () => {
    const history = h.pushMap(h.startHistory(bars('4')), 'Bar 1: 3 beats', bars('3'));
    expect([h.undoLabel(history), h.redoLabel(history)]).toEqual(['Bar 1: 3 beats', undefined]);
    expect([h.undoLabel(h.undo(history)), h.redoLabel(h.undo(history))]).toEqual([undefined, 'Bar 1: 3 beats']);
    expect(h.undo(h.undo(history)).place).toBe(0);
    expect(h.redo(history).place).toBe(1);
  });

  it('takes a solved map in place of the one shown and keeps what can be redone', () => {
    const history = h.undo(h.pushMap(h.startHistory(bars('4')), 'edit', bars('3')));
    const solved = h.replaceMap(history, bars('5'));
    expect([text(h.currentMap(solved)), text(h.currentMap(h.redo(solved)))]).toEqual(['5', '3']);
    expect(text(h.currentMap(history))).toBe('4');
  });

  it('is stored and read again exactly, whatever was done', () => {
    fc.assert(
      fc.property(mapArbitrary(), edits(60), fc.nat(), (map, list, at) => {
        const history = { ...historyOf(map, list), place: at % (list.length + 1) };
        const read = h.restoreHistory(throughJson(h.storedSteps(history)), history.place);
        expect(read).toEqual(throughJson(history));
      }),
      { numRuns: runs(25) },
    );
  });

  it('stores a whole map first and now and then, and differences between', () => {
    let history = h.startHistory(bars('4 4 4 4 4 4 4 4'));
    for (let i = 0; i < 60; i++) {
      history = h.pushMap(history, `edit ${i}`, setBarBeats(h.currentMap(history), i % 8, (i % 3) + 2));
    }
    const whole = h.storedSteps(history).flatMap(({ snapshot, index }) => (snapshot ? [index] : []));
    expect(whole).toEqual([0, 25, 50]);
  });

  it('stores a whole map where the difference would be longer, and only there', () => {
    const long = bars(Array.from({ length: 400 }, () => '4').join(' '));
    const isWhole = (after: SongMap): boolean => {
      return h.storedStep(h.pushMap(h.startHistory(long), 'tempo', after)).snapshot !== undefined;
    };
    expect(isWhole(doubleTempo(long, 0, 300))).toBe(false);
    expect(isWhole(doubleTempo(long))).toBe(true);
  });

  it('shares between steps what an edit leaves alone, also when read again', () => {
    const start = bars('4 4 4 4');
    const history = h.pushMap(h.startHistory(start), 'edit', setBarBeats(start, 1, 2));
    const read = h.restoreHistory(throughJson(h.storedSteps(history)), 1);
    expect(read.steps[1]!.map.spans).toBe(read.steps[0]!.map.spans);
    expect(read.steps[1]!.map.locks).not.toBe(read.steps[0]!.map.locks);
  });

  it('refuses a history with a hole, without a first map or without the place', () => {
    const stored = h.storedSteps(historyOf(bars('4 4'), [{ name: 'lockBar', a: 0, b: 0, n: 1 }]));
    expect(() => h.restoreHistory([stored[0]!, { ...stored[1]!, index: 2 }], 0)).toThrow(/step 1 .* is missing/);
    expect(() => h.restoreHistory([{ ...stored[1]!, index: 0 }], 0)).toThrow(/begins without a map/);
    expect(() => h.restoreHistory(stored, 2)).toThrow(/no step 2/);
  });
});

describe('a difference between maps', () => {
  it('is a JSON patch that any RFC 6902 program applies the same way', () => {
    fc.assert(
      fc.property(mapArbitrary(), mapArbitrary(), edits(4), (one, other, list) => {
        for (const after of [other, list.reduce(applyEdit, one)]) {
          const patch = throughJson([...patchBetween(one, after)]);
          const copy = throughJson(one);
          expect(applyPatch(copy, patch).every((error) => error === null)).toBe(true);
          expect(copy).toEqual(throughJson(after));
          expect(patched(one, patch)).toEqual(throughJson(after));
        }
      }),
      { numRuns: runs(50) },
    );
  });

  it('leaves the map it is applied to as it was', () => {
    const before = bars('4 4 | 4 4:G');
    const copy = throughJson(before);
    const after = doubleTempo(before);
    expect(patched(before, patchBetween(before, after))).toEqual(after);
    expect(before).toEqual(copy);
  });

  it('is small where little changes in a long song', () => {
    const long = bars(Array.from({ length: 600 }, () => '4').join(' '));
    expect(JSON.stringify(patchBetween(long, setBarBeats(long, 300, 2))).length).toBeLessThan(200);
  });

  it.each([
    ['no list', { op: 'add' }, /must be a list/],
    ['an unknown operation', [{ op: 'merge', path: '/title' }], /unknown operation/],
    ['a place that is none', [{ op: 'add', path: 'title', value: 1 }], /no place/],
    ['a way to the prototype', [{ op: 'add', path: '/__proto__/polluted', value: 1 }], /no place/],
    ['a way to the constructor', [{ op: 'add', path: '/constructor/prototype/polluted', value: 1 }], /no place/],
    ['a missing place', [{ op: 'remove', path: '/spans/99' }], /does not fit/],
    ['a missing value', [{ op: 'replace', path: '/title' }], /does not fit/],
    ['a failing test', [{ op: 'test', path: '/title', value: 'Other' }], /does not fit/],
    ['a move from nowhere', [{ op: 'move', from: '/nothing', path: '/title' }], /does not fit/],
  ])('is refused with %s', (_, patch, message) => {
    expect(() => patched(bars('4 4'), patch)).toThrow(PatchProblem);
    expect(() => patched(bars('4 4'), patch)).toThrow(message);
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
  });
});

describe('plain data', () => {
  it.each<[unknown, unknown, boolean]>([
    [{ a: 1, b: [1, 2] }, { b: [1, 2], a: 1 }, true],
    [{ a: 1 }, { a: 1, b: undefined }, true],
    [{ a: 1 }, { a: 1, b: 2 }, false],
    [{ a: 1, b: 2 }, { a: 1 }, false],
    [{ a: 1 }, { b: 1 }, false],
    [[1, 2], [1], false],
    [[1], { 0: 1 }, false],
    [null, {}, false],
    [NaN, NaN, true],
    ['1', 1, false],
  ])('%j and %j are the same: %s', (a, b, expected) => {
    expect(sameValue(a, b)).toBe(expected);
    expect(sameValue(b, a)).toBe(expected);
  });
});
