import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseMeter } from '../../../../src/music/meter.js';
import { barWidth, beatXs, beatsText, divisionsOf } from '../../../../src/app/map/map-view/bar-scale.js';
import {
  keepRows,
  layoutMap,
  summaryOf,
  type MapLayout,
  type SectionRow,
} from '../../../../src/app/map/map-view/rows.js';
import { chooseWrap, longestLine, wrapBoxes, type Box } from '../../../../src/app/map/map-view/wrap.js';
import { song } from './song.js';

const bar = (width: number): Box => ({ width, bars: 1 });
const widths = (lines: readonly (readonly Box[])[]): number[][] => lines.map((line) => line.map((box) => box.width));
const sections = (layout: MapLayout): SectionRow[] => layout.rows.filter((row) => row.kind === 'section');

describe('the scale of bars', () => {
  const common = parseMeter('4/4');

  it('makes a bar of 2 half as wide as a bar of 4', () => {
    expect(barWidth(parseMeter('2/4'), common) * 2).toBe(barWidth(common, common));
  });

  it('draws by note value where the beat is another: 7/8 among 4/4 is three and a half beats', () => {
    expect(barWidth(parseMeter('7/8'), common)).toBe(3.5);
    expect(barWidth({ count: 7, unit: 8, beatUnits: 2 }, common)).toBe(3.5);
    expect(barWidth(parseMeter('6/8'), parseMeter('6/8'))).toBe(2);
    expect(barWidth(parseMeter('6/8'), common)).toBe(3);
  });

  it('puts the half beat of a cut bar at its end', () => {
    expect(beatXs({ count: 7, unit: 8, beatUnits: 2 }, common)).toEqual([0, 1, 2, 3]);
  });

  it('marks the groups of a grouped bar', () => {
    const groups = divisionsOf(parseMeter('7/8 (2+2+3)'), common).filter((d) => d.kind === 'group');
    expect(groups.map((d) => d.x)).toEqual([1, 2]);
    // 3+2+2 eighths in quarters: the groups fall between the beats.
    const between = divisionsOf({ count: 7, unit: 8, beatUnits: 2, grouping: [3, 2, 2] }, common);
    expect(between.map((d) => [d.x, d.kind])).toEqual([
      [1, 'beat'],
      [1.5, 'group'],
      [2, 'beat'],
      [2.5, 'group'],
      [3, 'beat'],
    ]);
  });

  it('writes half beats as musicians do', () => {
    expect([4, 3.5, 0.5, 10].map(beatsText)).toEqual(['4', '3½', '½', '10']);
  });
});

describe('wrapping', () => {
  it('breaks after a whole number of bars', () => {
    expect(widths(wrapBoxes([4, 4, 4, 4, 4, 4].map(bar), 4, 4))).toEqual([
      [4, 4, 4, 4],
      [4, 4],
    ]);
  });

  it('counts a short bar as a bar, so that it throws its own line out and no other', () => {
    expect(widths(wrapBoxes([4, 2, 4, 4, 4, 4, 4, 4].map(bar), 4, 4))).toEqual([
      [4, 2, 4, 4],
      [4, 4, 4, 4],
    ]);
  });

  it('lets a line grow by no more than one bar', () => {
    expect(widths(wrapBoxes([4, 4, 4, 6].map(bar), 4, 4))).toEqual([[4, 4, 4, 6]]);
    expect(widths(wrapBoxes([7, 7, 7].map(bar), 2, 4))).toEqual([[7], [7], [7]]);
  });

  it('keeps every box, in order, and leaves no line empty', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(1, 2, 3, 3.5, 4, 5, 6, 12), { maxLength: 60 }),
        fc.constantFrom(1, 2, 4, 8, 16),
        (lengths, perLine) => {
          const lines = wrapBoxes(lengths.map(bar), perLine, 4);
          expect(widths(lines).flat()).toEqual(lengths);
          expect(lines.every((line) => line.length > 0 && line.length <= perLine)).toBe(true);
        },
      ),
    );
  });

  it('never draws wider than its room while beats have the least width', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.constantFrom(2, 3, 4, 5, 6), { minLength: 1, maxLength: 40 }), { minLength: 1 }),
        fc.integer({ min: 300, max: 2400 }),
        (lengths, room) => {
          const rows = lengths.map((row) => row.map(bar));
          const { perLine, beatPx } = chooseWrap(rows, 4, room);
          expect(longestLine(rows, perLine, 4) * beatPx).toBeLessThanOrEqual(room + 1e-6);
        },
      ),
    );
  });

  it('takes four bars on a phone and eight on a desk', () => {
    const rows = [Array.from({ length: 16 }, () => bar(4))];
    expect(chooseWrap(rows, 4, 330).perLine).toBe(4);
    expect(chooseWrap(rows, 4, 760).perLine).toBe(8);
    expect(chooseWrap(rows, 4, 760, 4).perLine).toBe(4);
  });
});

describe('the rows of the map', () => {
  it('are lead-in, sections and tail', () => {
    const layout = layoutMap(song('4 4 4 2 | 4 4'), 800);
    expect(layout.rows.map((row) => row.kind)).toEqual(['lead-in', 'section', 'section', 'tail']);
    expect(sections(layout).map((row) => row.summary)).toEqual(['4+4+4+2', '2 bars']);
  });

  it('give no row to a lead-in of no length to speak of', () => {
    const map = song('4 4 | 4');
    const [lead, ...rest] = map.spans;
    const start = rest[0]!.start - 0.04;
    const layout = layoutMap({ ...map, start, spans: [{ ...lead!, start }, ...rest] }, 800);
    expect(layout.rows.map((row) => row.kind)).toEqual(['section', 'section', 'tail']);
  });

  it('hang a pickup before its line, so that bar lines stand above one another', () => {
    const rows = sections(layoutMap(song('(1) 4 4 4 4 4 4 | 4 4'), 400, 4));
    const [first, second] = rows[0]?.lines ?? [];
    expect([first?.indent, first?.width, first?.boxes.length]).toEqual([0, 17, 5]);
    expect([second?.indent, second?.boxes.length]).toEqual([1, 2]);
    expect(rows[1]?.lines[0]?.indent).toBe(1);
    expect(first?.boxes.map((box) => box.kind === 'bar' && [box.number, box.pickup]).slice(0, 2)).toEqual([
      [0, true],
      [1, false],
    ]);
  });

  it('give a pickup longer than half a bar a line of its own, ending where the first bar ends below', () => {
    const [row] = sections(layoutMap(song('(3) 4 4 4 4'), 800));
    expect(row?.lines.map(({ indent, width }) => [indent, width])).toEqual([
      [1, 4],
      [0, 16],
    ]);
  });

  it('keep a pickup behind free time with its bar, and fill the line with whole bars', () => {
    const map = song('4 4 4 ~4 (1) 4 4 4 4');
    const [row] = sections(layoutMap(map, 400, 4));
    expect(row?.lines.map(({ boxes }) => boxes.length)).toEqual([4, 5]);
    expect(row?.lines.map(({ indent }) => indent)).toEqual([0, 0]);
  });

  it('take a pickup before the first section into it, and leave free time before it alone', () => {
    const map = song('~4 (1) 4 4 | 4');
    const [first, ...rest] = map.sections;
    const late = first ? { ...map, sections: [{ ...first, start: 3.5 }, ...rest] } : map;
    const layout = layoutMap(late, 800);
    expect(layout.rows.map((row) => row.kind)).toEqual(['lead-in', 'free', 'section', 'section', 'tail']);
    expect(sections(layout)[0]?.lines.map((line) => line.boxes.length)).toEqual([3]);
  });

  it('hold every bar once, whatever the width', () => {
    const map = song('4 4 2 4 ~6 4 4 6 4 4 | 4 3 4 7/8 4 4 4 4');
    for (const room of [200, 330, 760, 1800]) {
      const indices = sections(layoutMap(map, room)).flatMap((row) =>
        row.lines.flatMap((line) => line.boxes.flatMap((box) => (box.kind === 'bar' ? [box.index] : []))),
      );
      expect(indices).toEqual(indices.map((_, i) => i));
      expect(indices.length).toBe(17);
    }
  });

  it('say the passes of a letter', () => {
    const map = song('4 4 | 4 4 | 4 4');
    const letters = ['A', 'B', 'A'];
    const again = { ...map, sections: map.sections.map((s, i) => ({ ...s, letter: letters[i] ?? '' })) };
    expect(sections(layoutMap(again, 800)).map((row) => [row.pass, row.passes])).toEqual([
      [1, 2],
      [1, 1],
      [2, 2],
    ]);
  });

  it('sum up long sections by runs', () => {
    const meters = (text: string) => text.split(' ').map((n) => parseMeter(`${n}/4`));
    const common = parseMeter('4/4');
    expect(summaryOf(meters('4 4 4 4 4 4 4 2'), common)).toBe('7×4+2');
    expect(summaryOf(meters('3 3 3 3'), common)).toBe('4 bars of 3/4');
    expect(summaryOf(meters('4 2 4 3 4 2 4 3 4 2 4'), common)).toBe('11 bars, 5 irregular');
  });

  it('stay the same objects where an edit changed nothing', () => {
    const map = song('4 4 4 4 | 4 4 4 4 | 4 4 4 4');
    const before = layoutMap(map, 800);
    const spans = map.spans.map((span, i) => (i === 6 && span.kind === 'bar' ? { ...span, confidence: 0.2 } : span));
    const after = keepRows(before, layoutMap({ ...map, spans }, 800));
    expect(after.rows.map((row, i) => row === before.rows[i])).toEqual([true, true, false, true, true]);
    expect(keepRows(before, layoutMap(map, 400)).rows[1]).not.toBe(before.rows[1]);
  });
});
