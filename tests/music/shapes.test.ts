import guitar from '@tombatossals/chords-db/lib/guitar.json';
import ukulele from '@tombatossals/chords-db/lib/ukulele.json';
import { describe, expect, it } from 'vitest';
import { bassPitch, chordPitches, parseHarte } from '../../src/music/chord.js';
import { easiestKeys } from '../../src/music/easiest-key.js';
import { mod12 } from '../../src/music/pitch.js';
import { changeEffort, shapeFromFrets, shapesOf, shapeText } from '../../src/music/shapes.js';
import { parseTuning, TUNINGS, type Tuning } from '../../src/music/tuning.js';

const [UKE, , BARITONE, GUITAR] = TUNINGS as [Tuning, Tuning, Tuning, Tuning];
const shapes = (harte: string, tuning: Tuning, most?: number) => shapesOf(parseHarte(harte)!, tuning, most);

/** Suffixes of the collection with our names for them. */
const SUFFIXES = {
  major: 'maj',
  minor: 'min',
  '7': '7',
  m7: 'min7',
  maj7: 'maj7',
  sus4: 'sus4',
  dim7: 'dim7',
  m7b5: 'hdim7',
} as const;

interface Collection {
  readonly tunings: { readonly standard: readonly string[] };
  readonly chords: Readonly<
    Record<
      string,
      readonly { key: string; suffix: string; positions: readonly { frets: readonly number[]; baseFret: number }[] }[]
    >
  >;
}

/** The first position the collection gives for a chord, as we write shapes. */
function first(collection: Collection, root: string, suffix: string): string {
  const key = root.replace('C#', 'Csharp').replace('F#', 'Fsharp');
  const chord = (collection.chords[key] ?? []).find((each) => each.suffix === suffix);
  const position = chord?.positions[0];
  if (!position) return '';
  return position.frets
    .map((fret) => (fret < 0 ? 'x' : fret === 0 ? '0' : String(fret + position.baseFret - 1)))
    .map((fret) => (fret.length > 1 ? `(${fret})` : fret))
    .join('');
}

describe('shapes, beside an open collection (tombatossals/chords-db, MIT)', () => {
  it.each([
    ['ukulele', UKE, ukulele as Collection, ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'], 0.85],
    [
      'guitar',
      GUITAR,
      guitar as unknown as Collection,
      ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'],
      0.8,
    ],
  ] as const)(
    'find its first position for common chords among our easiest eight: %s',
    (_, tuning, collection, roots, least) => {
      const missed: string[] = [];
      let all = 0;
      for (const root of roots) {
        for (const [suffix, quality] of Object.entries(SUFFIXES)) {
          const theirs = first(collection, root, suffix);
          if (theirs === '') continue;
          all++;
          const ours = shapes(`${root}:${quality}`, tuning).map(shapeText);
          if (!ours.includes(theirs)) missed.push(`${root}${suffix} ${theirs} (ours ${ours.slice(0, 4).join(' ')})`);
        }
      }
      expect(all).toBeGreaterThan(80);
      expect(1 - missed.length / all, missed.join('\n')).toBeGreaterThan(least);
    },
  );

  it('has the same standard tunings', () => {
    const midi = (note: string) =>
      12 * (Number(note.slice(-1)) + 1) + { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }[note[0]!]!;
    expect(guitar.tunings.standard.map(midi)).toEqual(GUITAR.strings);
    expect(ukulele.tunings.standard.map(midi)).toEqual(UKE.strings);
  });
});

describe('shapes', () => {
  it.each([
    ['C', UKE, '0003'],
    ['F', UKE, '2010'],
    ['A:min', UKE, '2000'],
    ['G', UKE, '0232'],
    ['D/3', UKE, '2220'],
    ['C', GUITAR, 'x32010'],
    ['G', BARITONE, '0003'],
    ['E:min', GUITAR, '022000'],
    ['D', GUITAR, 'xx0232'],
  ] as const)('of %s begin with the one that beginners learn (common practice, no source)', (harte, tuning, shape) => {
    expect(shapes(harte, tuning).map(shapeText)[0]).toBe(shape);
  });

  it('sound the notes of their chord and no others, within four fingers', () => {
    for (const tuning of TUNINGS) {
      for (const harte of [
        'Bb:min7',
        'F#:7',
        'Eb:maj7',
        'G:sus4',
        'C/3',
        'D:9',
        'Ab:aug',
        'B:hdim7',
        'A:5',
        'E:(1,3,5,9)',
      ]) {
        const chord = parseHarte(harte)!;
        const pitches = new Set(chordPitches(chord));
        const found = shapesOf(chord, tuning);
        if (harte !== 'A:5' || tuning.strings.length > 4)
          expect(found.length, `${harte} ${tuning.id}`).toBeGreaterThan(0);
        for (const { frets, fingers } of found) {
          expect(fingers).toBeLessThanOrEqual(4);
          for (const [i, fret] of frets.entries()) {
            if (fret !== undefined) expect(pitches.has(mod12(tuning.strings[i]! + fret))).toBe(true);
          }
        }
      }
    }
  });

  it('carry the bass of a slash chord on six strings', () => {
    const chord = parseHarte('C/3')!;
    for (const { frets } of shapesOf(chord, GUITAR)) {
      const notes = frets.flatMap((fret, i) => (fret === undefined ? [] : [GUITAR.strings[i]! + fret]));
      expect(mod12(Math.min(...notes))).toBe(bassPitch(chord));
    }
  });

  it('come back from their frets as they were found', () => {
    for (const tuning of TUNINGS) {
      for (const { frets, fingers, barre } of shapes('B:min7', tuning))
        expect(shapeFromFrets(frets.map((fret) => fret ?? -1))).toMatchObject({
          frets,
          fingers,
          ...(barre && { barre }),
        });
    }
    expect(shapeFromFrets([1, 9, 1, 9])).toBeUndefined();
  });

  it('are none for no chord', () => {
    expect(shapes('N', UKE)).toEqual([]);
  });
});

describe('a change', () => {
  it('is nothing between the same shape, and more the more fingers move', () => {
    const [am] = shapes('A:min', UKE);
    const [f] = shapes('F', UKE);
    const [e] = shapes('E', UKE);
    expect(changeEffort(am!, am!)).toBe(0);
    // The finger that stays where it is makes Am to F one finger.
    expect(changeEffort(am!, f!)).toBeLessThan(changeEffort(am!, e!));
  });
});

describe('the easiest key', () => {
  const song = (...chords: string[]) => chords.map((harte) => ({ harte, seconds: 2 }));

  it('lists the recording first and then others, the easiest on top, with the capo that makes them sound', () => {
    const choices = easiestKeys(song('Eb', 'Ab', 'Bb', 'C:min'), GUITAR);
    expect(choices).toHaveLength(12);
    expect(choices[0]).toMatchObject({ shift: 0, capo: 0 });
    // Shapes of C or G: capo 3 or 8, and D: capo 1 (common practice, no source).
    expect([-1, -3, -8]).toContain(choices[1]!.shift);
    expect(choices[1]!.effort).toBeLessThan(choices[0]!.effort);
    expect(choices.every(({ shift, capo }) => capo === undefined || capo === -shift)).toBe(true);
  });

  it('says what is fingered there, what takes a barre, and how many fingers move', () => {
    const key = { tonic: 'D', mode: 'major' } as const;
    const choices = easiestKeys(song('D', 'B:min', 'G', 'Q?', 'A'), UKE, key);
    expect(choices[0]).toMatchObject({ chords: ['D', 'B:min', 'G', 'A'], barres: ['B:min'], missing: [] });
    const two = choices.find(({ shift }) => shift === -2)!;
    expect(two).toMatchObject({ chords: ['C', 'A:min', 'F', 'G'], barres: [], capo: 2 });
    expect(two.moved).toBeGreaterThan(0);
    expect(two.moved).toBeLessThanOrEqual(4);
    expect(easiestKeys(song('C', 'C'), UKE)[0]!.moved).toBe(0);
  });

  it('knows that a fast change is harder than a slow one', () => {
    const [slow] = easiestKeys(song('C', 'E', 'C', 'E'), UKE);
    const [fast] = easiestKeys(
      song('C', 'E', 'C', 'E').map((chord) => ({ ...chord, seconds: 0.5 })),
      UKE,
    );
    expect(fast!.effort).toBeGreaterThan(slow!.effort);
  });
});

describe('a tuning typed by the user', () => {
  it.each([
    ['E A D G B E', [40, 45, 50, 55, 59, 64]],
    ['D A D G B E', [38, 45, 50, 55, 59, 64]],
    ['g C E A', [67, 60, 64, 69]],
    ['G3 C4 E4 A4', [55, 60, 64, 69]],
    ['Eb Ab Db Gb Bb Eb', [39, 44, 49, 54, 58, 63]],
  ])('%s is %j', (text, strings) => {
    expect(parseTuning(text).strings).toEqual(strings);
  });

  it('is refused with a sentence when it is none', () => {
    expect(() => parseTuning('G C')).toThrow(/found 2 strings/);
    expect(() => parseTuning('G C H A')).toThrow(/"H" is no note/);
  });
});
