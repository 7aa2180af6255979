import { describe, expect, it } from 'vitest';
import { findPasses } from '../../../src/analysis/passes/find-passes.js';
import { ignoreDifference } from '../../../src/model/edits/passes.js';
import type { PassTable } from '../../../src/model/pass-table.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { cellLabels, moveBy, passBlocks, passCells, type PassCell } from '../../../src/app/passes/pass-grid.js';
import { bars } from '../../support/notation.js';

const tableOf = (map: SongMap): PassTable => findPasses(map)[0]!;
/** A row a pass: number with length, "!" where it differs; "-" for a gap, "." for a blank. */
const shown = (rows: readonly (readonly PassCell[])[]): string[] =>
  rows.map((row) =>
    row
      .map(({ kind, number, width, open }) =>
        kind === 'blank' ? '.' : `${kind === 'gap' ? '-' : `${number}:${width}`}${open.length > 0 ? '!' : ''}`,
      )
      .join(' '),
  );

const short = bars('Verse: 4:G 4:C 4:D 4:G | Verse: 4:G 3:C 4:D 4:G | Verse: 4:G 4:C 4:D 4:G');
const dropped = bars(
  'Verse: 4:G 4:C 4:D 4:A:min 4:F | Verse: 4:G 4:C 4:D 4:A:min 4:F | Verse: 4:G 4:C 4:A:min 4:F 4:B:min',
);

describe('the cells of a table of passes', () => {
  it('write the chords of a bar in one size, and say where one is cut', () => {
    const map = bars('Verse: 4:A:min,F/3@2,G:7@3,C@4 4:G | Verse: 4:A:min,F/3@2,G:7@3,C@4 4:G');
    const [[first]] = passCells(map, tableOf(map)) as [[PassCell]];
    const labels = cellLabels(first.chords, 24);
    expect(labels.map(({ text, cut }) => [text, cut])).toEqual([
      ['Am', false],
      ['F', true],
      ['G7', false],
      ['C', false],
    ]);
    expect(new Set(labels.map(({ size }) => size))).toEqual(new Set([11]));
    expect(cellLabels(first.chords, 60).map(({ text, size }) => [text, size])).toEqual([
      ['Am', 17],
      ['F/A', 17],
      ['G7', 17],
      ['C', 17],
    ]);
  });

  it('are as wide as their bars, in columns as wide as the longest', () => {
    expect(shown(passCells(short, tableOf(short)))).toEqual(['1:4 2:4 3:4 4:4', '1:4 2:3! 3:4 4:4', '1:4 2:4 3:4 4:4']);
    expect(passBlocks(short, tableOf(short), 800).blocks).toEqual([{ first: 0, last: 3, widths: [4, 4, 4, 4] }]);
  });

  it('say the length of an irregular bar, and the usual one where it is what differs', () => {
    const notches = passCells(short, tableOf(short)).map((row) => row.map(({ notch = '' }) => notch));
    expect(notches).toEqual([
      ['', '', '', ''],
      ['', '3', '', ''],
      ['', '', '', ''],
    ]);
  });

  it('leave a gap where a pass has no bar, and nothing where others have one more', () => {
    const rows = shown(passCells(dropped, tableOf(dropped)));
    expect(rows[0]).toBe('1:4 2:4 3:4 4:4 5:4 .');
    expect(rows[2]).toBe('1:4 2:4 -! 3:4 4:4 5:4!');
  });

  it('are quiet where the user ignores what differs', () => {
    const [difference] = tableOf(short).differences;
    const quiet = ignoreDifference(short, difference!);
    const cell = passCells(quiet, tableOf(quiet))[1]![1]!;
    expect([cell.open, cell.ignored.map(({ kind }) => kind)]).toEqual([[], ['length']]);
  });

  it('show each chord where it begins, one that sounds on in its own way', () => {
    const map = bars('Verse: 4:G,C@3 4 4:D | Verse: 4:G,C@3 4 4:D');
    const chords = passCells(map, tableOf(map))[0]!.map((cell) =>
      cell.chords.map(({ text, x, held }) => [text, x, held]),
    );
    expect(chords[0]).toEqual([
      ['G', 0, false],
      ['C', 2, false],
    ]);
    expect(chords[1]).toEqual([['C', 0, true]]);
  });
});

describe('the columns', () => {
  const line = Array.from({ length: 16 }, () => '4:G').join(' ');
  const long = bars(`Verse: ${line} | Verse: ${line}`);
  const perBlock = (room: number): number[] =>
    passBlocks(long, tableOf(long), room).blocks.map(({ first, last }) => last - first + 1);

  it('break into phrases where they do not fit', () => {
    expect(perBlock(1200)).toEqual([16]);
    expect(perBlock(700)).toEqual([12, 4]);
    expect(perBlock(500)).toEqual([8, 8]);
    expect(perBlock(330)).toEqual([4, 4, 4, 4]);
    expect(perBlock(1)).toHaveLength(16);
  });

  it('never need more room than there is', () => {
    for (const room of [200, 330, 500, 777, 1200]) {
      const { blocks, beatPx } = passBlocks(long, tableOf(long), room);
      for (const { widths } of blocks) {
        expect(widths.reduce((sum, width) => sum + width, 0) * beatPx).toBeLessThanOrEqual(room + 1e-6);
      }
    }
  });
});

describe('arrow keys', () => {
  const cells = passCells(dropped, tableOf(dropped));
  it.each([
    ['ArrowRight', [2, 1], [2, 2]],
    ['ArrowRight', [0, 4], [0, 4]],
    ['ArrowLeft', [0, 0], [0, 0]],
    ['ArrowDown', [1, 2], [2, 2]],
    ['ArrowUp', [2, 5], [2, 5]],
    ['Home', [1, 3], [1, 0]],
    ['End', [1, 0], [1, 4]],
    ['End', [2, 0], [2, 5]],
  ])('%s from %j leads to %j', (key, [pass, column], [toPass, toColumn]) => {
    expect(moveBy(cells, { pass: pass!, column: column! }, key)).toEqual({ pass: toPass, column: toColumn });
  });

  it('leave every other key to the map', () => {
    expect(moveBy(cells, { pass: 0, column: 0 }, 'b')).toBeUndefined();
  });
});
