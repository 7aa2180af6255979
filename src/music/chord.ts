import { degreeSemitones, mod12, pitchClassOf, type PitchClass } from './pitch.js';

/**
 * Chords in Harte syntax (Harte, Sandler, Abdallah & Gómez, ISMIR 2005) with the shorthands that the JAMS namespace
 * "chord" adds: sus2, 1, 5, 11 and 13 chords.
 */
export type Chord = PitchedChord | { readonly kind: 'none' } | { readonly kind: 'unknown' };

export interface PitchedChord {
  readonly kind: 'chord';
  readonly root: string;
  /** Absent when only degrees are listed: "C:(1,5)". */
  readonly quality?: Quality;
  /** Added ("9", "b7") or left-out ("*5") degrees. */
  readonly degrees: readonly string[];
  /** Degree of the bass above the root; absent when it is the root. */
  readonly bass?: string;
}

/** Shorthand to degrees. Source: Harte et al. 2005, table 1; sus2, 1, 5 and 11 to 13 as in JAMS and mir_eval. */
const QUALITY_DEGREES = {
  maj: ['1', '3', '5'],
  min: ['1', 'b3', '5'],
  dim: ['1', 'b3', 'b5'],
  aug: ['1', '3', '#5'],
  '1': ['1'],
  '5': ['1', '5'],
  sus2: ['1', '2', '5'],
  sus4: ['1', '4', '5'],
  maj6: ['1', '3', '5', '6'],
  min6: ['1', 'b3', '5', '6'],
  '7': ['1', '3', '5', 'b7'],
  maj7: ['1', '3', '5', '7'],
  min7: ['1', 'b3', '5', 'b7'],
  dim7: ['1', 'b3', 'b5', 'bb7'],
  hdim7: ['1', 'b3', 'b5', 'b7'],
  minmaj7: ['1', 'b3', '5', '7'],
  aug7: ['1', '3', '#5', 'b7'],
  '9': ['1', '3', '5', 'b7', '9'],
  maj9: ['1', '3', '5', '7', '9'],
  min9: ['1', 'b3', '5', 'b7', '9'],
  '11': ['1', '3', '5', 'b7', '9', '11'],
  maj11: ['1', '3', '5', '7', '9', '11'],
  min11: ['1', 'b3', '5', 'b7', '9', '11'],
  '13': ['1', '3', '5', 'b7', '9', '11', '13'],
  maj13: ['1', '3', '5', '7', '9', '11', '13'],
  min13: ['1', 'b3', '5', 'b7', '9', '11', '13'],
} as const satisfies Record<string, readonly string[]>;

export type Quality = keyof typeof QUALITY_DEGREES;

const DEGREE = '(?:b*|#*)(?:1[0-3]|[1-9])';
const HARTE = new RegExp(
  `^([A-G](?:b*|#*))(?::(?:(${Object.keys(QUALITY_DEGREES)
    .sort((a, b) => b.length - a.length)
    .join('|')})?(?:\\((\\*?${DEGREE}(?:,\\*?${DEGREE})*)\\))?))?(?:/(${DEGREE}))?$`,
);

/** Reads Harte syntax; undefined when it is not. */
export function parseHarte(text: string): Chord | undefined {
  if (text === 'N') return { kind: 'none' };
  if (text === 'X') return { kind: 'unknown' };
  const match = HARTE.exec(text);
  if (!match || text.includes(':/') || text.endsWith(':')) return undefined;
  const [, root = '', shorthand, listed, bass] = match;
  const degrees = listed ? listed.split(',') : [];
  const quality = shorthand ?? (degrees.length === 0 ? 'maj' : undefined);
  return {
    kind: 'chord',
    root,
    ...(quality === undefined ? {} : { quality: quality as Quality }),
    degrees,
    ...(bass === undefined || bass === '1' ? {} : { bass }),
  };
}

/** Writes Harte syntax in its shortest usual form: "G" for G major, "C:maj/3", "A:min7". */
export function formatHarte(chord: Chord): string {
  if (chord.kind === 'none') return 'N';
  if (chord.kind === 'unknown') return 'X';
  const listed = chord.degrees.length > 0 ? `(${chord.degrees.join(',')})` : '';
  const bass = chord.bass === undefined ? '' : `/${chord.bass}`;
  const quality = chord.quality ?? '';
  if (quality === 'maj' && listed === '' && bass === '') return chord.root;
  return `${chord.root}:${quality}${listed}${bass}`;
}

/** Semitones above the root of the chord's notes, 0 to 11, ascending; the bass is not added. */
export function chordIntervals(chord: PitchedChord): readonly number[] {
  const notes = new Set<number>();
  for (const degree of chord.quality === undefined ? [] : QUALITY_DEGREES[chord.quality]) {
    notes.add(mod12(degreeSemitones(degree)));
  }
  for (const degree of chord.degrees) {
    if (degree.startsWith('*')) notes.delete(mod12(degreeSemitones(degree.slice(1))));
    else notes.add(mod12(degreeSemitones(degree)));
  }
  return [...notes].sort((a, b) => a - b);
}

/** Pitch classes of the chord, root first; empty for none and unknown. */
export function chordPitches(chord: Chord): readonly PitchClass[] {
  if (chord.kind !== 'chord') return [];
  const root = pitchClassOf(chord.root);
  return chordIntervals(chord).map((interval) => mod12(root + interval));
}

/** Pitch class of the lowest note; undefined for none and unknown. */
export function bassPitch(chord: Chord): PitchClass | undefined {
  if (chord.kind !== 'chord') return undefined;
  return mod12(pitchClassOf(chord.root) + (chord.bass === undefined ? 0 : degreeSemitones(chord.bass)));
}
