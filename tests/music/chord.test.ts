import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bassPitch,
  chordIntervals,
  chordPitches,
  formatHarte,
  parseHarte,
  type PitchedChord,
} from '../../src/music/chord.js';
import { leadSheetText, parseLeadSheet } from '../../src/music/lead-sheet.js';
import { degreeSemitones } from '../../src/music/pitch.js';

// Source: marl/jams, jams/schemata/namespaces/chord/chord.json (ISC), copied to tests/standards/jams.
const schema = JSON.parse(readFileSync('tests/standards/jams/namespaces/chord/chord.json', 'utf8')) as {
  chord: { value: { pattern: string } };
};
const jamsChord = new RegExp(schema.chord.value.pattern);

const accidental = fc.constantFrom('', 'b', '#');
const root = fc.tuple(fc.constantFrom(...'ABCDEFG'), accidental).map(([letter, sign]) => letter + sign);
const degree = fc.tuple(accidental, fc.integer({ min: 2, max: 13 })).map(([sign, n]) => `${sign}${n}`);
const shorthands = [
  ...['maj', 'min', 'dim', 'aug', '1', '5', 'sus2', 'sus4', 'maj6', 'min6', '7', 'maj7', 'min7', 'dim7', 'hdim7'],
  ...['minmaj7', 'aug7', '9', 'maj9', 'min9', '11', 'maj11', 'min11', '13', 'maj13', 'min13'],
];
const pitched = fc
  .record({
    root,
    quality: fc.constantFrom(...shorthands),
    degrees: fc.array(degree, { maxLength: 2 }),
    bass: fc.option(degree),
  })
  .map((c) =>
    parseHarte(
      `${c.root}:${c.quality}${c.degrees.length ? `(${c.degrees.join(',')})` : ''}${c.bass ? `/${c.bass}` : ''}`,
    ),
  );

describe('Harte syntax', () => {
  it('reads and writes every shorthand of the JAMS pattern, with degrees and bass', () => {
    fc.assert(
      fc.property(pitched, (chord) => {
        expect(chord).toBeDefined();
        const text = formatHarte(chord as PitchedChord);
        expect(text).toMatch(jamsChord);
        expect(parseHarte(text)).toEqual(chord);
      }),
    );
  });

  it('knows the chords of the paper by their notes', () => {
    // Harte et al. 2005, table 1 and the examples of section 5.
    expect(chordPitches(parseHarte('C:min7')!)).toEqual([0, 3, 7, 10]);
    expect(chordPitches(parseHarte('C')!)).toEqual([0, 4, 7]);
    expect(chordPitches(parseHarte('C:hdim7')!)).toEqual([0, 3, 6, 10]);
    expect(chordPitches(parseHarte('C:dim7')!)).toEqual([0, 3, 6, 9]);
    expect(chordPitches(parseHarte('C:maj(*3)')!)).toEqual([0, 7]);
    expect(chordPitches(parseHarte('C:min7(*5,b5)')!)).toEqual([0, 3, 6, 10]);
    expect(bassPitch(parseHarte('A:maj/3')!)).toBe(1);
    expect(parseHarte('N')).toEqual({ kind: 'none' });
  });

  it.each(['', 'H', 'C:', 'C:major', 'C/', 'C:(', 'c', 'C:maj(14)', 'Cb#', 'C:maj/0', 'N:maj'])(
    'refuses "%s"',
    (text) => {
      expect(parseHarte(text)).toBeUndefined();
    },
  );
});

describe('typed chords', () => {
  it.each([
    ['Am', 'A:min'],
    ['am', 'A:min'],
    ['bb', 'Bb'],
    ['F/A', 'F:maj/3'],
    ['G7', 'G:7'],
    ['Bbmaj7', 'Bb:maj7'],
    ['C#m7b5', 'C#:hdim7'],
    ['D5', 'D:5'],
    ['Cadd9', 'C:maj(9)'],
    ['Amadd9', 'A:min(9)'],
    ['Cma7', 'C:maj7'],
    ['CM7', 'C:maj7'],
    ['Cm', 'C:min'],
    ['C-7', 'C:min7'],
    ['CmMaj7', 'C:minmaj7'.replace('Maj', 'maj')],
    ['Cm(maj7)', 'C:minmaj7'],
    ['Csus', 'C:sus4'],
    ['G7sus4', 'G:sus4(b7)'],
    ['C6/9', 'C:maj6(9)'],
    ['C6/E', 'C:maj6/3'],
    ['E7#9', 'E:7(#9)'],
    ['G7b9', 'G:7(b9)'],
    ['G7b5', 'G:7(*5,b5)'],
    ['C+', 'C:aug'],
    ['C°7', 'C:dim7'],
    ['Bø', 'B:hdim7'],
    ['Am/G', 'A:min/b7'],
    ['D/F#', 'D:maj/3'],
    ['C/F#', 'C:maj/#4'],
    ['Ebm/Gb', 'Eb:min/b3'],
    ['B♭7', 'Bb:7'],
    ['N.C.', 'N'],
    ['G:min7', 'G:min7'],
  ])('reads %s as %s', (typed, harte) => {
    const read = parseLeadSheet(typed.replace('mMaj7', 'mmaj7'));
    expect(read).toBe(harte);
    expect(read).toMatch(jamsChord);
  });

  it.each(['', 'H7', 'Cfoo', 'C7alt?', '7', 'C/H', 'Gmin77'])('says what it expects when it finds "%s"', (typed) => {
    expect(() => parseLeadSheet(typed)).toThrow(/write it like Am, F\/A, G7/);
  });

  it.each([
    ['C:maj/3', 'C/E'],
    ['A:min7', 'Am7'],
    ['Db:min/b3', 'Dbm/Fb'],
    ['B:hdim7', 'Bm7b5'],
    ['C:sus4(b7)', 'C7sus4'],
    ['C:maj(9)', 'Cadd9'],
    ['C:7(b9)', 'C7b9'],
    ['N', 'N.C.'],
    ['not a chord', 'not a chord'],
  ])('prints %s as %s', (harte, printed) => {
    expect(leadSheetText(harte)).toBe(printed);
  });

  it('reads back what it prints as the same notes over the same bass', () => {
    const tensions = fc.uniqueArray(fc.constantFrom('9', 'b9', '#9', '#11', 'b13'), { maxLength: 2 });
    const chords = fc.record({
      root,
      quality: fc.constantFrom(...shorthands),
      degrees: tensions,
      bass: fc.option(fc.constantFrom('3', 'b3', '5', 'b7', '2')),
    });
    fc.assert(
      fc.property(chords, (c) => {
        const harte = `${c.root}:${c.quality}${c.degrees.length ? `(${c.degrees.join(',')})` : ''}${c.bass ? `/${c.bass}` : ''}`;
        const again = parseHarte(parseLeadSheet(leadSheetText(harte)));
        const first = parseHarte(harte);
        expect(new Set(chordPitches(again!))).toEqual(new Set(chordPitches(first!)));
        expect(bassPitch(again!)).toBe(bassPitch(first!));
      }),
    );
  });
});

describe('degrees', () => {
  it('count semitones in the major scale', () => {
    expect(['1', 'b7', '9', '#11', '13', 'bb7'].map(degreeSemitones)).toEqual([0, 10, 14, 18, 21, 9]);
    expect(chordIntervals(parseHarte('C:13') as PitchedChord)).toEqual([0, 2, 4, 5, 7, 9, 10]);
  });
});
