import { chordIntervals, parseHarte } from '../../../src/music/chord.js';
import { degreeSemitones, mod12, pitchClassOf } from '../../../src/music/pitch.js';
import { spanTo, type Interval } from './segment.js';

/**
 * Measures of chords as mir_eval.chord 0.7 defines them (Raffel et al., ISMIR 2014; Pauwels & Peeters, ICASSP 2013), weighted by time.
 * `_inv`: the bass must be right too.
 */
export const CHORD_MEASURES = [
  'root',
  'thirds',
  'thirds_inv',
  'triads',
  'triads_inv',
  'tetrads',
  'tetrads_inv',
  'mirex',
  'majmin',
  'majmin_inv',
  'sevenths',
  'sevenths_inv',
] as const;
export type ChordMeasure = (typeof CHORD_MEASURES)[number];

interface Encoded {
  /** -1 for none and unknown. */
  readonly root: number;
  /** Which semitones above the root sound; all false for none. Notes above the octave do not count, the bass does. */
  readonly notes: readonly boolean[];
  readonly bass: number;
  readonly unknown: boolean;
}

const MAJOR = bits([0, 4, 7]);
const MINOR = bits([0, 3, 7]);
const SEVENTHS = [MAJOR, MINOR, bits([0, 4, 7, 11]), bits([0, 4, 7, 10]), bits([0, 3, 7, 10]), bits([])];

const encoded = new Map<string, Encoded>();

function encode(label: string): Encoded {
  const known = encoded.get(label);
  if (known) return known;
  const chord = parseHarte(label);
  if (!chord) throw new RangeError(`chord measure: "${label}" is not Harte syntax`);
  const fresh = ((): Encoded => {
    if (chord.kind !== 'chord') return { root: -1, notes: bits([]), bass: -1, unknown: chord.kind === 'unknown' };
    // Of an extended shorthand only the seventh chord counts, of listed degrees those within the octave.
    const shorthand =
      chord.quality === undefined ? [] : (SHORT[chord.quality] ?? chordIntervals({ ...chord, degrees: [] }));
    const notes = new Set([0, ...shorthand]);
    for (const degree of chord.degrees) {
      const semitones = degreeSemitones(degree.replace('*', ''));
      if (semitones >= 12) continue;
      if (degree.startsWith('*')) notes.delete(semitones);
      else notes.add(semitones);
    }
    const bass = chord.bass === undefined ? 0 : mod12(degreeSemitones(chord.bass));
    notes.add(bass);
    return { root: pitchClassOf(chord.root), notes: bits([...notes]), bass, unknown: false };
  })();
  encoded.set(label, fresh);
  return fresh;
}

/** Shorthands whose ninth and more are left out. */
const SHORT: Readonly<Record<string, readonly number[]>> = {
  '9': [0, 4, 7, 10],
  maj9: [0, 4, 7, 11],
  min9: [0, 3, 7, 10],
  '11': [0, 4, 7, 10],
  maj11: [0, 4, 7, 11],
  min11: [0, 3, 7, 10],
  '13': [0, 4, 7, 10],
  maj13: [0, 4, 7, 11],
  min13: [0, 3, 7, 10],
};

/** 1 right, 0 wrong, undefined: not judged. */
function compare(measure: ChordMeasure, truth: Encoded, claim: Encoded): number | undefined {
  const sameRoot = truth.root === claim.root;
  const sameBass = !measure.endsWith('_inv') || truth.bass === claim.bass;
  const base = measure.replace('_inv', '');
  if (base === 'majmin' || base === 'sevenths') {
    const reach = base === 'majmin' ? 8 : 12;
    const none = truth.root < 0 && !truth.unknown;
    const inside =
      base === 'majmin'
        ? none || equal(truth.notes, MAJOR, 8) || equal(truth.notes, MINOR, 8)
        : !truth.unknown && SEVENTHS.some((kind) => equal(truth.notes, kind, 12));
    if (!inside) return undefined;
    return Number(sameRoot && sameBass && equal(truth.notes, claim.notes, reach) && !claim.unknown);
  }
  if (truth.unknown) return undefined;
  if (base === 'mirex') {
    const count = truth.notes.filter(Boolean).length;
    if (truth.root < 0) return Number(claim.root < 0);
    if (count < 3) return undefined;
    if (claim.root < 0) return 0;
    const shared = claim.notes.filter((on, i) => on && truth.notes[mod12(claim.root + i - truth.root)]).length;
    return Number(shared >= 3);
  }
  if (claim.unknown) return Number(base === 'root' && sameRoot);
  const reach = base === 'triads' ? 8 : 12;
  const notes =
    base === 'root' || (base === 'thirds' ? truth.notes[3] === claim.notes[3] : equal(truth.notes, claim.notes, reach));
  return Number(sameRoot && sameBass && notes);
}

/** Agreement of chords over the time of `truth`, 0 to 1, by every measure; NaN where nothing is judged. */
export function chordScores(
  truth: readonly Interval[],
  claims: readonly Interval[],
): Readonly<Record<ChordMeasure, number>> {
  const pieces = overlaps(truth, claims);
  const score = (measure: ChordMeasure): number => {
    let right = 0;
    let judged = 0;
    for (const { seconds, known, claimed } of pieces) {
      const value = compare(measure, encode(known), encode(claimed));
      if (value === undefined) continue;
      right += value * seconds;
      judged += seconds;
    }
    return right / judged;
  };
  return Object.fromEntries(CHORD_MEASURES.map((measure) => [measure, score(measure)])) as Record<ChordMeasure, number>;
}

/** A stretch on which both lists say one chord each. */
export interface Overlap {
  readonly seconds: number;
  readonly known: string;
  readonly claimed: string;
}

/** The pieces of the time of `truth`; where nothing is claimed the claim is "N". */
export function overlaps(truth: readonly Interval[], claims: readonly Interval[]): Overlap[] {
  const from = truth[0]?.start ?? 0;
  const to = truth[truth.length - 1]?.end ?? 0;
  const shifted = claims.map((one) => ({ ...one, start: one.start - from, end: one.end - from }));
  const filled = spanTo(shifted, to - from).map((one) => ({
    ...one,
    start: one.start + from,
    end: one.end + from,
    label: one.label.startsWith('__') ? 'N' : one.label,
  }));
  const pieces: Overlap[] = [];
  let c = 0;
  for (const { start, end, label } of truth) {
    while (c > 0 && (filled[c]?.start ?? 0) > start) c -= 1;
    for (; c < filled.length; c++) {
      const claim = filled[c] as Interval;
      const seconds = Math.min(end, claim.end) - Math.max(start, claim.start);
      if (seconds > 0) pieces.push({ seconds, known: label, claimed: claim.label });
      if (claim.end >= end) break;
    }
  }
  return pieces;
}

function equal(a: readonly boolean[], b: readonly boolean[], reach: number): boolean {
  for (let i = 0; i < reach; i++) if (a[i] !== b[i]) return false;
  return true;
}

function bits(notes: readonly number[]): readonly boolean[] {
  return Array.from({ length: 12 }, (_, i) => notes.includes(i));
}
