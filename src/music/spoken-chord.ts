import { parseHarte, type Quality } from './chord.js';

/** What is said after the root. Common practice, no source. */
const QUALITIES: Readonly<Record<Quality, readonly string[]>> = {
  maj: [],
  min: ['minor'],
  dim: ['diminished'],
  aug: ['augmented'],
  '1': [],
  '5': ['5'],
  sus2: ['sus', '2'],
  sus4: ['sus', '4'],
  maj6: ['6'],
  min6: ['minor', '6'],
  '7': ['7'],
  maj7: ['major', '7'],
  min7: ['minor', '7'],
  dim7: ['diminished', '7'],
  hdim7: ['half', 'diminished'],
  minmaj7: ['minor', 'major', '7'],
  aug7: ['augmented', '7'],
  '9': ['9'],
  maj9: ['major', '9'],
  min9: ['minor', '9'],
  '11': ['11'],
  maj11: ['major', '11'],
  min11: ['minor', '11'],
  '13': ['13'],
  maj13: ['major', '13'],
  min13: ['minor', '13'],
};

/**
 * The words a chord (Harte syntax) is announced with: root, accidentals, quality; added degrees and the bass are left out, for
 * an announcement has to be short. "rest" where there is no chord, none for one that is unknown.
 */
export function spokenChord(harte: string): readonly string[] {
  const chord = parseHarte(harte);
  if (!chord || chord.kind === 'unknown') return [];
  if (chord.kind === 'none') return ['rest'];
  const [letter = '', ...signs] = chord.root;
  return [
    letter,
    ...signs.map((sign) => (sign === 'b' ? 'flat' : 'sharp')),
    ...(chord.quality === undefined ? [] : QUALITIES[chord.quality]),
  ];
}
