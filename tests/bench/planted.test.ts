import { describe, expect, it } from 'vitest';
import { bars } from '../support/notation.js';
import { judgePasses } from './measures/planted.js';

describe('counting planted differences', () => {
  const map = bars('Verse: 4:G 4:C 4:D 4:G | Tag: 4:F | Verse: 4:G 4:C 3:D 4:G | Verse: 4:G 4:A:min 4:D 4:G');

  it('tells found, missed and invented ones apart', () => {
    const tally = judgePasses(map, undefined, [
      { section: 2, kind: 'length', bar: 2 },
      { section: 3, kind: 'key', bar: 0, by: 2 },
    ]);
    expect(tally).toEqual({
      planted: 2,
      found: 1,
      invented: 1,
      bars: 12,
      kinds: { length: [1, 1, 0], key: [1, 0, 0], chord: [0, 0, 1] },
    });
  });

  it('wants the right bar, and leaves sections that come once out', () => {
    const tally = judgePasses(map, undefined, [
      { section: 2, kind: 'length', bar: 1 },
      { section: 1, kind: 'chord', bar: 0 },
    ]);
    expect(tally).toMatchObject({ planted: 1, found: 0, invented: 2 });
  });

  it('counts a bar more or less beside its neighbour as found', () => {
    const longer = bars('Verse: 4:G 4:G 4:D 4:E:min | Verse: 4:G 4:G 4:G 4:D 4:E:min');
    expect(judgePasses(longer, undefined, [{ section: 1, kind: 'bar', bar: 1, by: 1 }])).toMatchObject({
      found: 1,
      invented: 0,
      kinds: { added: [1, 1, 0] },
    });
  });
});
