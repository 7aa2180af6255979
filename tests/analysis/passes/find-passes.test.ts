import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findPasses } from '../../../src/analysis/passes/find-passes.js';
import { acceptChords } from '../../../src/model/edits/chords.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { passSentences, tableText } from '../../../src/model/pass-words.js';
import type { PassTable } from '../../../src/model/pass-table.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { sentence } from '../../../src/app/kit/sentences.js';
import { mapArbitrary } from '../../support/arbitraries.js';
import { bars } from '../../support/notation.js';
import { runs } from '../../support/runs.js';

/** What is said of the passes of the first section that comes again. */
function said(notation: string): string[] {
  const map = bars(notation);
  const [table] = findPasses(map);
  return table ? passSentences(map, table).map(({ words }) => `${sentence(words)}.`) : [];
}

/** The columns, each pass on a line: bars counted from the pass's first, "-" where it has none. */
function shown({ passes, columns }: PassTable): string[] {
  return passes.map(({ first }, pass) =>
    columns.map(({ bars }) => ((bars[pass] ?? null) === null ? '-' : (bars[pass] as number) - first + 1)).join(' '),
  );
}

const VERSE = '4:G 4:C 4:D 4:E:min';
const BREAK = '4:F 4:Bb';

describe('passes by the chords written', () => {
  it('are nothing where nothing comes again', () => {
    expect(findPasses(bars(`Verse: ${VERSE} | Chorus: ${BREAK}`))).toEqual([]);
  });

  it('are all the same', () => {
    const map = bars(`Verse: ${VERSE} | Chorus: ${BREAK} | Verse: ${VERSE}`);
    const [table] = findPasses(map);
    expect(table && shown(table)).toEqual(['1 2 3 4', '1 2 3 4']);
    expect(table && tableText(map, table)).toBe('2 passes, all the same');
  });

  it.each([
    ['a shorter bar', '4:G 4:C 3:D 4:E:min', 'Pass 2: bar 3 has 3 beats instead of 4.'],
    ['half a beat less', '4:G 4:C 4:D 3.5:E:min', 'Pass 2: bar 4 has 3½ beats instead of 4.'],
    ['another time signature', '4:G 6/8:C 4:D 4:E:min', 'Pass 2: bar 2 is in 6/8 instead of 4/4.'],
    ['another chord', '4:G 4:A:min 4:D 4:E:min', 'Pass 2: bar 2 has Am instead of C.'],
    ['another chord in half a bar', '4:G 4:C,F@3 4:D 4:E:min', 'Pass 2: bar 2 has F instead of C on beat 3.'],
    ['two bars more at the end', '4:G 4:C 4:D 4:E:min 4:A 4:D', 'Pass 2 ends two bars later, on D.'],
    ['a bar less at the end', '4:G 4:C 4:D', 'Pass 2 ends one bar earlier, on D.'],
    ['a bar more inside', '4:G 4:C 4:B 4:D 4:E:min', 'Pass 2 has one bar more after bar 2, on B.'],
    ['a bar less inside', '4:G 4:D 4:E:min', 'Pass 2 leaves out bar 2 of pass 1.'],
    ['no first bar', '4:C 4:D 4:E:min', 'Pass 2 leaves out the first bar.'],
    ['a bar before', '4:Bb:min 4:G 4:C 4:D 4:E:min', 'Pass 2 begins one bar earlier.'],
    ['another key', '4:A 4:D 4:E 4:F#:min', 'Pass 2 is a tone higher.'],
    ['a lower key', '4:F# 4:B 4:C# 4:D#:min', 'Pass 2 is a semitone lower.'],
  ])('say %s', (_, second, sentence) => {
    expect(said(`Verse: ${VERSE} | Chorus: ${BREAK} | Verse: ${second}`)).toEqual([sentence]);
  });

  it('say what most passes do not do, and once what several do alike', () => {
    const cut = '4:G 4:C 4:D 2:E:min';
    expect(said(`Verse: ${cut} | Verse: ${VERSE} | Verse: ${VERSE}`)).toEqual([
      'Pass 1: bar 4 has 2 beats instead of 4.',
    ]);
    expect(said(`Verse: ${VERSE} | Verse: ${VERSE} | Verse: ${cut} | Verse: ${VERSE} | Verse: ${cut}`)).toEqual([
      'Passes 3 and 5: bar 4 has 2 beats instead of 4.',
    ]);
  });

  it('take the chords of most passes for the usual ones', () => {
    expect(said(`Verse: 4:G 4:A:min 4:D 4:E:min | Verse: ${VERSE} | Verse: ${VERSE}`)).toEqual([
      'Pass 1: bar 2 has Am instead of C.',
    ]);
  });

  it('take the prevailing time signature for the usual one where passes are divided', () => {
    expect(said(`Verse: 4:G 4:C 2:D 4:E:min | Verse: ${VERSE}`)).toEqual(['Pass 1: bar 3 has 2 beats instead of 4.']);
  });

  it('compare a pass in another key in its own key', () => {
    expect(said(`Verse: ${VERSE} | Verse: 4:A 4:D 4:B:min 4:F#:min`)).toEqual([
      'Pass 2 is a tone higher.',
      'Pass 2: bar 3 has Bm instead of E.',
    ]);
  });

  it('leave a pickup out of the count', () => {
    const map = bars(`Verse: (2) ${VERSE} | Verse: 4:G 4:C 3:D 4:E:min`);
    const [table] = findPasses(map);
    expect(table?.passes[0]).toMatchObject({ first: 1, last: 4 });
    expect(table && passSentences(map, table).map(({ words }) => `${sentence(words)}.`)).toEqual([
      'Pass 2: bar 3 has 3 beats instead of 4.',
    ]);
  });
});

describe('chords the user typed', () => {
  const map = bars(`Verse: ${VERSE} | Verse: 4:G 4:C:maj7 4:D 4:E:min`);

  it('differ where they have other notes, however little', () => {
    const typed = barsOf(map).reduce<SongMap>((now, _, bar) => acceptChords(now, bar), map);
    const [table] = findPasses(typed);
    expect(table?.differences).toMatchObject([{ kind: 'chord', pass: 1, column: 1, confidence: 1 }]);
  });
});

describe('any map', () => {
  it('has each bar of each pass in one column, in order, and says its differences in sentences', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        for (const table of findPasses(map)) {
          table.passes.forEach(({ first, last }, pass) => {
            const own = table.columns.flatMap(({ bars }) => ((bars[pass] ?? null) === null ? [] : [bars[pass]]));
            expect(own).toEqual(Array.from({ length: last - first + 1 }, (_, i) => first + i));
          });
          expect(table.columns.every(({ bars }) => bars.some((bar) => bar !== null))).toBe(true);
          for (const { words, differences } of passSentences(map, table)) {
            const text = `${sentence(words)}.`;
            expect(text).toMatch(/^Pass(es)? \d.*[^ ,]\.$/);
            expect(text).not.toMatch(/undefined|NaN|null/);
            expect(differences.length).toBeGreaterThan(0);
          }
        }
      }),
      { numRuns: runs(100) },
    );
  });

  it('says the same of two passes whichever comes first, with more for less', () => {
    const chord = fc.constantFrom('C', 'G', 'F', 'A:min', 'E:min', 'D');
    const pass = fc
      .array(chord, { minLength: 2, maxLength: 7 })
      .map((names) => names.map((name) => `4:${name}`).join(' '));
    const turned = { added: 'dropped', dropped: 'added', chord: 'chord', length: 'length', key: 'key' } as const;
    const kinds = (notation: string): string[] =>
      (findPasses(bars(notation))[0]?.differences ?? []).map(({ kind }) => kind).sort();
    fc.assert(
      fc.property(pass, pass, (a, b) => {
        const back = kinds(`Verse: ${b} | Verse: ${a}`).map((kind) => turned[kind as keyof typeof turned]);
        expect(kinds(`Verse: ${a} | Verse: ${b}`)).toEqual(back.sort());
      }),
      // The example can be aligned in two ways that are equally good.
      { numRuns: runs(100), examples: [['4:E:min 4:G 4:E:min 4:C', '4:C 4:C 4:G']] },
    );
  });
});
