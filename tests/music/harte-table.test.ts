import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { chordIntervals, parseHarte, type PitchedChord } from '../../src/music/chord.js';
import { leadSheetText, parseLeadSheet } from '../../src/music/lead-sheet.js';
import { degreeSemitones, noteAbove } from '../../src/music/pitch.js';

/**
 * Harte, Sandler, Abdallah & Gómez, "Symbolic representation of musical chords", ISMIR 2005, table 1: shorthands and the degrees
 * they stand for beside the root. Written down from memory; that these are all is checked against the schema of marl/jams.
 */
const TABLE: Readonly<Record<string, string>> = {
  maj: '3 5',
  min: 'b3 5',
  dim: 'b3 b5',
  aug: '3 #5',
  maj7: '3 5 7',
  min7: 'b3 5 b7',
  '7': '3 5 b7',
  dim7: 'b3 b5 bb7',
  hdim7: 'b3 b5 b7',
  minmaj7: 'b3 5 7',
  maj6: '3 5 6',
  min6: 'b3 5 6',
  '9': '3 5 b7 9',
  maj9: '3 5 7 9',
  min9: 'b3 5 b7 9',
  sus4: '4 5',
};

// Source: marl/jams, jams/schemata/namespaces/chord/harte.json (ISC), copied to tests/standards/jams.
const { chord_harte: schema } = JSON.parse(
  readFileSync('tests/standards/jams/namespaces/chord/harte.json', 'utf8'),
) as { chord_harte: { value: { pattern: string } } };

describe('the published table of shorthands', () => {
  it('is the one of the schema', () => {
    const listed = /:\((maj\|[^)]*)\)/.exec(schema.value.pattern)?.[1]?.split('|') ?? [];
    expect(listed.sort()).toEqual(Object.keys(TABLE).sort());
  });

  it.each(Object.entries(TABLE))('%s is 1 %s', (shorthand, degrees) => {
    const semitones = ['1', ...degrees.split(' ')].map((degree) => degreeSemitones(degree) % 12);
    const chord = parseHarte(`C:${shorthand}`) as PitchedChord;
    expect(chordIntervals(chord)).toEqual(semitones.sort((a, b) => a - b));
    // Written out in degrees, as the paper's section 3 has it, it is the same chord.
    expect(chordIntervals(parseHarte(`C:(1,${degrees.split(' ').join(',')})`) as PitchedChord)).toEqual(
      chordIntervals(chord),
    );
    expect(`C:${shorthand}`).toMatch(new RegExp(schema.value.pattern));
    expect(parseLeadSheet(leadSheetText(`C:${shorthand}`))).toMatch(
      new RegExp(`^C${shorthand === 'maj' ? '' : `:${shorthand}`}$`),
    );
  });
});

describe('chord spellings', () => {
  // The notes of common chords as every primer of music theory spells them; common practice, no source.
  it.each([
    ['D', '1 3 5', 'D F# A'],
    ['Bb', '1 3 5 b7', 'Bb D F Ab'],
    ['F#', '1 b3 5', 'F# A C#'],
    ['Eb', '1 3 5 7', 'Eb G Bb D'],
    ['B', '1 b3 b5 b7', 'B D F A'],
    ['Ab', '1 3 #5', 'Ab C E'],
    ['C#', '1 b3 5 b7', 'C# E G# B'],
    ['Gb', '1 3 5', 'Gb Bb Db'],
    ['A', '1 4 5', 'A D E'],
  ])('%s with %s is %s', (root, degrees, notes) => {
    expect(
      degrees
        .split(' ')
        .map((degree) => noteAbove(root, degree))
        .join(' '),
    ).toBe(notes);
  });

  // The sizes of the intervals of the major scale and their usual alterations; common practice, no source.
  it('measure intervals in semitones', () => {
    const sizes = {
      '1': 0,
      b2: 1,
      '2': 2,
      b3: 3,
      '3': 4,
      '4': 5,
      '#4': 6,
      b5: 6,
      '5': 7,
      '#5': 8,
      b6: 8,
      '6': 9,
      bb7: 9,
      b7: 10,
      '7': 11,
    };
    for (const [degree, semitones] of Object.entries(sizes)) expect(degreeSemitones(degree), degree).toBe(semitones);
    expect([9, 10, 11, 12, 13].map((n) => degreeSemitones(String(n)))).toEqual([14, 16, 17, 19, 21]);
  });
});

describe('typed lead-sheet chords', () => {
  it.each([
    ['Am7', 'A:min7'],
    ['F/A', 'F:maj/3'],
    ['G7sus4', 'G:sus4(b7)'],
    ['Bbmaj7', 'Bb:maj7'],
    ['C6/9', 'C:maj6(9)'],
    ['E5', 'E:5'],
    ['N.C.', 'N'],
    ['Dadd9/F#', 'D:maj(9)/3'],
    ['F#m7b5', 'F#:hdim7'],
    ['C/Bb', 'C:maj/b7'],
  ])('%s is %s, and is printed as it was typed', (typed, harte) => {
    expect(parseLeadSheet(typed)).toBe(harte);
    expect(leadSheetText(harte)).toBe(typed);
  });
});
