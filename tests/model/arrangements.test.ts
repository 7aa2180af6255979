import { describe, expect, it } from 'vitest';
import { addArrangement, changeArrangement, removeArrangement } from '../../src/model/edits/arrangements.js';
import { check } from '../../src/model/invariants.js';
import { itemOf, itemSection } from '../../src/model/play-order.js';
import { readMap } from '../../src/project/read-map.js';
import { bars } from '../support/notation.js';

const map = bars('A: 4 4 | B: 4 4 4 | C: 4 4');
const items = [itemOf(map, 2)!, { ...itemOf(map, 1)!, early: 2 }];

describe('an arrangement', () => {
  it('is kept with the song, changed and taken away', () => {
    const one = addArrangement(map, ' Short  version ', items);
    expect(one.arrangements).toEqual([{ id: 'R1', name: 'Short version', items }]);
    expect(check(one)).toEqual([]);
    expect(readMap(JSON.parse(JSON.stringify(one)), 'map')).toEqual(one);
    const two = changeArrangement(addArrangement(one, 'Encore', []), 'R2', { items: items.slice(0, 1) });
    expect(two.arrangements?.map(({ id, items: own }) => [id, own.length])).toEqual([
      ['R1', 2],
      ['R2', 1],
    ]);
    expect(removeArrangement(removeArrangement(two, 'R1'), 'R2')).toEqual(map);
  });

  it('finds its sections again when their edges move', () => {
    const moved = { ...map, sections: map.sections.map((s, i) => (i === 1 ? { ...s, start: 2 } : s)) };
    expect(items.map((item) => itemSection(moved, item))).toEqual([2, 1]);
    expect(itemSection(map, { time: 99 })).toBeUndefined();
  });

  it('is refused with a sentence when it has no name or is not there', () => {
    expect(() => addArrangement(map, '  ', items)).toThrow(/An arrangement needs a name/);
    expect(() => changeArrangement(map, 'R9', { name: 'x' })).toThrow(/not there any more/);
    expect(check({ ...map, arrangements: [{ id: 'R1', name: 'x', items: [{ time: NaN }] }] })).toEqual([
      'the arrangement x plays what cannot be',
    ]);
  });
});
