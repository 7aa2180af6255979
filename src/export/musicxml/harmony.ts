import { chordIntervals, formatHarte, parseHarte, type PitchedChord, type Quality } from '../../music/chord.js';
import { leadSheetText } from '../../music/lead-sheet.js';
import { degreeSemitones, mod12, noteAbove } from '../../music/pitch.js';
import { oneLine } from '../one-line.js';
import { element, plain, type Xml } from './xml.js';

/** MusicXML's kinds by the shorthands of Harte syntax. Source: kind-value in the W3C schema of MusicXML 4.0. */
const KINDS: Readonly<Record<Quality, string>> = {
  maj: 'major',
  min: 'minor',
  dim: 'diminished',
  aug: 'augmented',
  // A root alone: a chord made of its degrees.
  '1': 'other',
  '5': 'power',
  sus2: 'suspended-second',
  sus4: 'suspended-fourth',
  maj6: 'major-sixth',
  min6: 'minor-sixth',
  '7': 'dominant',
  maj7: 'major-seventh',
  min7: 'minor-seventh',
  dim7: 'diminished-seventh',
  hdim7: 'half-diminished',
  minmaj7: 'major-minor',
  aug7: 'augmented-seventh',
  '9': 'dominant-ninth',
  maj9: 'major-ninth',
  min9: 'minor-ninth',
  '11': 'dominant-11th',
  maj11: 'major-11th',
  min11: 'minor-11th',
  '13': 'dominant-13th',
  maj13: 'major-13th',
  min13: 'minor-13th',
};

/**
 * A chord symbol, `offset` divisions after the note it stands before. The kind's text is what a lead sheet prints, so the
 * degrees, which say the same to a program, are not printed. What is no Harte syntax is printed as it was typed.
 */
export function harmony(harte: string, offset: number): Xml {
  const chord = parseHarte(harte);
  const parts = chord?.kind === 'chord' ? pitched(chord) : unpitched(chord?.kind, harte);
  return element('harmony', { 'print-frame': 'no' }, parts, offset === 0 ? undefined : plain('offset', offset));
}

function pitched(chord: PitchedChord): Xml[] {
  const { root, quality, degrees, bass } = chord;
  const suffix = leadSheetText(formatHarte({ kind: 'chord', root, quality, degrees })).slice(root.length);
  const kind = quality === undefined ? 'other' : KINDS[quality];
  return [
    plain('root', note('root', root)),
    element('kind', { text: suffix }, kind),
    ...(bass === undefined ? [] : [plain('bass', note('bass', noteAbove(root, bass)))]),
    ...degreesOf(chord),
  ];
}

function unpitched(kind: 'none' | 'unknown' | undefined, harte: string): Xml[] {
  const text = kind === undefined ? oneLine(harte) : leadSheetText(harte);
  const root = plain('root', element('root-step', { text: '' }, 'C'));
  return [root, element('kind', { text }, kind === 'none' ? 'none' : 'other')];
}

function note(name: string, pitch: string): Xml[] {
  const alter = alteration(pitch.slice(1));
  return [plain(`${name}-step`, pitch.charAt(0)), ...(alter === 0 ? [] : [plain(`${name}-alter`, alter)])];
}

/**
 * Left-out degrees are subtracted, a perfect fifth left out and put back altered is altered, all others are added. What is
 * left out of a chord that does not have it says nothing.
 */
function degreesOf({ quality, degrees }: PitchedChord): Xml[] {
  const own = quality === undefined ? [] : chordIntervals({ kind: 'chord', root: 'C', quality, degrees: [] });
  const has = (degree: string): boolean => own.includes(mod12(degreeSemitones(degree)));
  const altered = degrees.find((degree) => /^[b#]+5$/.test(degree));
  const changesFifth = altered !== undefined && degrees.includes('*5') && has('5');
  // A root alone is made of its one degree.
  const root = quality === '1' ? [degreeOf('1', 0, 'add')] : [];
  const others = degrees.flatMap((degree): Xml[] => {
    if (degree === '*5' && changesFifth) return [];
    const [, left, accidentals = '', number = ''] = /^(\*?)([b#]*)(\d+)$/.exec(degree) ?? [];
    if (left) return has(degree.slice(1)) ? [degreeOf(number, 0, 'subtract')] : [];
    if (degree === altered && changesFifth) return [degreeOf(number, alteration(accidentals), 'alter')];
    // Added degrees are counted from a dominant chord, whose seventh is a minor one.
    return [degreeOf(number, alteration(accidentals) + (number === '7' ? 1 : 0), 'add')];
  });
  return [...root, ...others];
}

function degreeOf(value: string, alter: number, type: 'add' | 'alter' | 'subtract'): Xml {
  return element(
    'degree',
    { 'print-object': 'no' },
    plain('degree-value', value),
    plain('degree-alter', alter),
    plain('degree-type', type),
  );
}

function alteration(accidentals: string): number {
  return accidentals.startsWith('b') ? -accidentals.length : accidentals.length;
}
