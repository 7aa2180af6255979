import { describe, expect, it } from 'vitest';
import { findPasses } from '../../../src/analysis/passes/find-passes.js';
import { setFingering } from '../../../src/model/edits/fingering.js';
import type { PassTable } from '../../../src/model/pass-table.js';
import { passSentences } from '../../../src/model/pass-words.js';
import { sentence } from '../../../src/app/kit/sentences.js';
import type { SongMap } from '../../../src/model/song-map.js';
import {
  cellWords,
  emptyText,
  letterChoices,
  passesText,
  readingsOf,
} from '../../../src/app/passes/pass-cell-words.js';
import { passCells } from '../../../src/app/passes/pass-grid.js';
import { bars } from '../../support/notation.js';

const tableOf = (map: SongMap): PassTable => findPasses(map)[0]!;
const map = bars('Verse: 4:G 4:C 4:D 4:Bb | Verse: 4:G 3:C 4:A:min 4:Bb | Verse: 4:G 4:C 4:D 4:Bb | Solo: 4:G');
const words = (pass: number, column: number): string => {
  const table = tableOf(map);
  return cellWords(map, table, passCells(map, table)[pass]![column]!);
};

describe('a cell in words', () => {
  it('says pass, bar, length, chords and what differs', () => {
    expect(words(0, 0)).toBe('pass 1, bar 1, 4 beats, G, bar 1 of the song');
    expect(words(0, 3)).toBe('pass 1, bar 4, 4 beats, B flat, bar 4 of the song');
    expect(words(1, 1)).toBe('pass 2, bar 2, 3 beats, C, bar 6 of the song, differs: bar 2 has 3 beats instead of 4');
    expect(words(1, 2)).toBe('pass 2, bar 3, 4 beats, Am, bar 7 of the song, differs: bar 3 has Am instead of D');
  });
});

describe('behind a capo', () => {
  // Common practice, no source: behind a capo on the second fret, A and E are fingered as G and D.
  it('cells, readings and sentences name the chords that are shown, and the sounding ones where those are', () => {
    const song = bars('Verse: 4:A 4:E | Verse: 4:A 3:D');
    const said = (fingered: SongMap): string[] => {
      const table = tableOf(fingered);
      const cells = passCells(fingered, table);
      return [
        ...cells.map((row) => row.map((cell) => cell.chords.map(({ text }) => text).join(' ')).join(' ')),
        cellWords(fingered, table, cells[1]![1]!),
        readingsOf(fingered, table, 1, 'chords')
          .map(({ text }) => text)
          .join(),
        ...passSentences(fingered, table).map(({ words }) => `${sentence(words)}.`),
      ];
    };
    const capo = setFingering(song, { capo: 2 });
    const differs = 'differs: bar 2 has 3 beats instead of 4, differs: bar 2 has';
    expect(said(capo)).toEqual([
      'G D',
      'G C',
      `pass 2, bar 2, 3 beats, C, bar 4 of the song, ${differs} C instead of D`,
      'D,C',
      'Pass 2: bar 2 has 3 beats instead of 4.',
      'Pass 2: bar 2 has C instead of D.',
    ]);
    const sounding = setFingering(capo, { sounding: true });
    expect(said(sounding)).toEqual(said(song));
    expect(said(song)).toContain('Pass 2: bar 2 has D instead of E.');
  });
});

describe('what can be right', () => {
  it('are the readings of a column, each with its passes', () => {
    expect(readingsOf(map, tableOf(map), 1, 'lengths')).toEqual([
      { text: '4 beats', passes: [0, 2] },
      { text: '3 beats', passes: [1] },
    ]);
    expect(readingsOf(map, tableOf(map), 2, 'chords')).toEqual([
      { text: 'D', passes: [0, 2] },
      { text: 'Am', passes: [1] },
    ]);
    expect([passesText([0, 2]), passesText([1]), passesText([0, 1, 3])]).toEqual([
      'passes 1 and 3',
      'pass 2',
      'passes 1, 2 and 4',
    ]);
  });
});

describe('the sections to choose from', () => {
  it('are the letters in order, with how often they come and how much differs', () => {
    const choices = letterChoices(map, findPasses(map)).map(({ name, passes, open }) => [name, passes, open]);
    expect(choices).toEqual([
      ['Verse', 3, 2],
      ['Solo', 1, 0],
    ]);
  });
});

describe('where there is nothing to compare', () => {
  const text = (song: SongMap, letter?: string) => emptyText(song, findPasses(song), letter);

  it('it is said why, and what to do', () => {
    expect(text(map, 'A')).toBeUndefined();
    expect(text(map, map.sections.at(-1)!.letter)).toMatch(/^Solo comes only once/);
    expect(text(bars('Verse: 4 4 | Solo: 4 4'), 'A')).toMatch(/^Every section comes only once/);
    expect(text({ ...bars('4 4'), sections: [] })).toMatch(/^No sections are marked yet/);
    const free = bars('~8');
    expect(text({ ...free, sections: [] })).toMatch(/^There are no bars yet, only free time/);
  });
});
