import { describe, expect, it } from 'vitest';
import { barsOf, chordsInBar } from '../../src/model/map-queries.js';
import { differenceWords, keyWords, passSentences, tableText } from '../../src/model/pass-words.js';
import { ignoreDifference } from '../../src/model/edits/passes.js';
import type { ChordOnBeat, KeyDifference, PassDifference, PassTable } from '../../src/model/pass-table.js';
import type { SongMap } from '../../src/model/song-map.js';
import { sentence } from '../../src/app/kit/sentences.js';
import { bars } from '../support/notation.js';

const map = bars('Verse: 4:G 4:C 4:D 4:G | Verse: 4:G 4:C 4:D 4:G | Verse: 4:G 4:C 4:D 4:G');

function table(differences: readonly PassDifference[] = []): PassTable {
  const passes = [0, 4, 8].map((first, i) => ({ section: `S${i + 1}`, first, last: first + 3, shift: 0 }));
  const columns = [0, 1, 2, 3].map((bar) => ({ bars: [bar, bar + 4, bar + 8], usual: true }));
  return { letter: 'A', name: 'Verse', passes, columns, differences };
}

const timeOf = (song: SongMap, bar: number): number => barsOf(song)[bar]?.start ?? NaN;
const chords = (text: string): ChordOnBeat[] => {
  const song = bars(`4:${text}`);
  return chordsInBar(song, 0).map(({ chord, beat }) => ({ beat, harte: chord.harte }));
};

describe('a chord difference', () => {
  it.each([
    ['A:min', 'C', 'Am instead of C'],
    ['C:maj7', 'C', 'Cmaj7 instead of C'],
    ['C:maj/3', 'C', 'C/E instead of C'],
    ['C,G@3', 'C,A:min@3', 'G instead of Am on beat 3'],
    ['C', 'C,A:min@3', 'C instead of Am on beat 3'],
    ['C,E:min@2,F@3', 'C', 'Em F instead of C on beat 2'],
    ['D,C@3', 'G,C@3', 'D instead of G'],
    ['C,G@2.5', 'C', 'G instead of C on the second half of beat 2'],
    ['N', 'C', 'N.C. instead of C'],
    ['B##weird', 'C', 'B##weird instead of C'],
  ])('%s for %s is said as %s', (has, usual, words) => {
    const difference: PassDifference = {
      ...{ kind: 'chord', pass: 1, column: 1, time: timeOf(map, 5), confidence: 0.9, bar: 5 },
      has: chords(has),
      usual: chords(usual),
    };
    expect(differenceWords(map, table([difference]), difference)).toBe(`pass 2: bar 2 has ${words}`);
  });

  it('that is only heard says so', () => {
    const same = { kind: 'chord', pass: 2, column: 0, time: timeOf(map, 8), confidence: 0.9, bar: 8 } as const;
    const written = { ...same, has: chords('G'), usual: chords('G') };
    expect(differenceWords(map, table(), written)).toBe(
      'pass 3: bar 1 sounds different, though the same chords are written',
    );
    expect(differenceWords(map, table(), { ...same, has: [], usual: [] })).toBe('pass 3: bar 1 sounds different');
  });
});

describe('a key', () => {
  // Interval names: common practice, no source.
  it.each([
    [1, 'a semitone higher'],
    [2, 'a tone higher'],
    [3, 'a minor third higher'],
    [-2, 'a tone lower'],
    [-5, 'a fourth lower'],
    [6, 'a tritone higher'],
  ])('%i semitones up is %s', (shift, words) => {
    const difference: KeyDifference = { kind: 'key', pass: 2, column: 0, time: 16, confidence: 0.9, shift };
    expect(differenceWords(map, table(), difference)).toBe(`pass 3 is ${words}`);
    expect(keyWords(difference)).toBe(words);
  });
});

describe('the sentences of a table', () => {
  const longer = [1, 2].map((pass): PassDifference => {
    const at = { pass, column: 2, time: timeOf(map, 4 * pass + 2), confidence: 1, bar: 4 * pass + 2 };
    return {
      ...at,
      kind: 'length',
      meter: { count: 6, unit: 4, beatUnits: 1 },
      usual: { count: 4, unit: 4, beatUnits: 1 },
    };
  });
  const key = [1, 2].map((pass): PassDifference => {
    return { kind: 'key', pass, column: 0, time: timeOf(map, 4 * pass), confidence: 0.9, shift: 2 };
  });

  it('say once what several passes do', () => {
    expect(passSentences(map, table([...longer, ...key]))).toEqual([
      { words: 'passes 2 and 3: bar 3 has 6 beats instead of 4', differences: longer },
      { words: 'passes 2 and 3 are a tone higher', differences: key },
    ]);
  });

  it('leave out what is ignored', () => {
    const [first] = longer as [PassDifference];
    const quieter = ignoreDifference(map, first);
    expect(passSentences(quieter, table(longer)).map(({ words }) => `${sentence(words)}.`)).toEqual([
      'Pass 3: bar 3 has 6 beats instead of 4.',
    ]);
    expect(tableText(map, table(longer))).toBe('3 passes, 2 differences');
    expect(tableText(quieter, table(longer))).toBe('3 passes, 1 difference, 1 ignored');
    expect(tableText(quieter, table([first]))).toBe('3 passes, nothing else differs, 1 ignored');
    expect(tableText(map, table())).toBe('3 passes, all the same');
  });
});
