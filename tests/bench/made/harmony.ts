import { chordIntervals, formatHarte, parseHarte } from '../../../src/music/chord.js';
import { spell, type KeyLike } from '../../../src/music/key.js';
import { degreeOf, mod12, pitchClassOf } from '../../../src/music/pitch.js';
import type { Dice } from './dice.js';

/** A chord relative to the tonic: root and bass in semitones above it. */
export interface ToneChord {
  readonly root: number;
  /** Harte shorthand with degrees, "min7", "maj(9)". */
  readonly kind: string;
  readonly bass: number;
}

/** A chord, or undefined for none, and the beat of its bar where it begins. */
export interface PlacedTone {
  readonly beat: number;
  readonly chord: ToneChord | undefined;
}

/** How rich the chords are: triads alone, sevenths and inversions here and there, sevenths nearly everywhere. */
export type Colour = 'plain' | 'mixed' | 'rich';

const SUFFIX: Readonly<Record<string, string>> = {
  '': 'maj',
  m: 'min',
  d: '7',
  M: 'maj7',
  m7: 'min7',
  h: 'hdim7',
  o: 'dim',
  o7: 'dim7',
  '+': 'aug',
  s2: 'sus2',
  s4: 'sus4',
  ds: 'sus4(b7)',
  '6': 'maj6',
  m6: 'min6',
  d9: '9',
  a9: 'maj(9)',
  '5': '5',
};

/**
 * Progressions a bar at a time: semitones above the tonic, then after a point the kind, after a slash the bass in semitones above
 * the tonic; "|" parts two chords of a bar. Invented for this generator out of common moves.
 */
const MAJOR = [
  '0 5 7 0',
  '0 9.m 5 7',
  '0 7 9.m 5',
  '9.m 5 0 7',
  '5 0 7 9.m',
  '0 4.m 5 7',
  '0 2.m 7 0',
  '0 0 5 5 0 0 7 0',
  '0 5 0 7 0 5 7 0',
  '2.m 5 0 0 2.m 5 7 7',
  '0 10 5 0',
  '0 8 10 0',
  '9.m 7 5 7',
  '5 7 4.m 9.m 2.m 7 0 0',
  '0 7/11 9.m 0/7 5 0/4 2.m 7',
  '0 7/11 9.m 9.m/7 5 0/4 2.m7 7.ds|7',
  '0.M 5.M 0.M 5.M',
  '0.M 9.m7 2.m7 7.d',
  '0 0.M 0.d 5',
  '0 0.+ 0.6 0.d 5 5.m 0 7.d',
  '5.M 4.m7 2.m7 0',
  '0.s2 0 5.s2 5',
  '0 7.s4|7 9.m 5',
  '0 1.o7 2.m 7',
  '0.M 3.o7 2.m7 7.d',
  '4.m7 9.d 2.m7 7.d',
  '0.M 11.h|4.d 9.m7 7.m7|0.d 5.M 5.m6 4.m7 9.d 2.m7 7.d 0.6 7.ds',
  '0 2.d 5 0',
  '0 5/0 7/0 0',
  '5 5.m 0 0',
  '0|5 0|7 9.m|5 7',
  '0|4.m 5|7 9.m|4.m 5|7',
  '5/0 0 7/11 9.m',
  '0/4 5 7 9.m',
  '0.d 5.d 0.d 0.d 5.d 5.d 0.d 0.d 7.d 5.d 0.d 7.d',
  '0.a9 9.m7 5.a9 7.s4',
  '0 3 5 0',
  '0 4 9.m 5',
  '0 4.d 9.m 9.m/7 2.d 2.d/6 7.s4 7',
];
const MINOR = [
  '0.m 8 3 10',
  '0.m 10 8 10',
  '0.m 5.m 7 0.m',
  '0.m 8 10 0.m',
  '0.m 3 10 5',
  '0.m 5.m 10 3',
  '0.m 7.m 8 5.m',
  '8 5.m 0.m 10',
  '0.m 0.m 8 8 5.m 5.m 7 7',
  '0.m 10 8 7',
  '0.m 0.m/10 8.M 7.d',
  '0.m 0.m/11 0.m7/10 9.h 8.M 7.d 0.m 7.d',
  '0.m7 5.m7 8.M 7.d',
  '2.h 7.d 0.m 0.m',
  '0.m7 5.d 0.m7 5.d',
  '5.m7 10.d 3.M 8.M 2.h 7.d 0.m6 0.m6',
  '0.m 2.o 7 0.m',
  '0.m 7/11 3/10 5/9 8 3/7 2.h 7',
  '0.m|8 3|10 0.m|8 10',
  '0.m 8.M 5.m7 10.ds|10.d',
  '3 10/2 0.m 8',
  '0.m 3.+ 3 5',
  '0.5 3.5 5.5 10.5',
  '0.m 5 8 7.s4|7',
  '0.m 5.m/8 7 0.m',
];

/** Some of these steps at random make a progression of no known kind: root, kind in major, kind in minor. */
const STEPS: readonly (readonly [number, string, string])[] = [
  [0, '', 'm'],
  [2, 'm', 'o'],
  [3, '', ''],
  [4, 'm', ''],
  [5, '', 'm'],
  [7, '', 'm'],
  [8, '', ''],
  [9, 'm', 'o'],
  [10, '', ''],
  [11, 'o', 'o'],
];
const ANY = ['', '', 'm', 'm', 'd', 'M', 'm7', 'h', 'o', '+', 's2', 's4'];

/** The chords of `beats.length` bars of so many beats: a progression, coloured, repeated, perhaps with another ending. */
export function progression(
  d: Dice,
  mode: KeyLike['mode'],
  beats: readonly number[],
  colour: Colour,
): readonly (readonly PlacedTone[])[] {
  const bars = d.chance(0.2) ? randomBars(d, mode, colour) : parse(d.pick(mode === 'major' ? MAJOR : MINOR));
  const slow = bars.length <= 4 && beats.length >= 8 && d.chance(0.2);
  const own = bars.map((bar) => bar.map((chord) => coloured(d, chord, colour)));
  const inverted = colour === 'plain' ? own : inversions(d, own);
  const late = d.chance(0.25) ? 0.75 : 0.5;
  const ending = d.chance(0.3) ? parse(d.pick(['7', '7.ds|7', '5|7', '0', '2.m|7', '10'])) : undefined;
  const all = beats.map((_, bar) => {
    const place = slow ? bar >> 1 : bar;
    const last = ending && bar === beats.length - 1 ? ending[0]?.map((chord) => coloured(d, chord, colour)) : undefined;
    return last ?? (inverted[place % inverted.length] as readonly ToneChord[]);
  });
  return all.map((chords, bar) => {
    const count = beats[bar] as number;
    if (chords.length === 1 || count < 2) return [{ beat: 0, chord: chords[0] }];
    const split = count === 4 && late === 0.75 ? 3 : Math.ceil(count / 2);
    return [
      { beat: 0, chord: chords[0] },
      { beat: split, chord: chords[1] },
    ];
  });
}

function parse(text: string): ToneChord[][] {
  return text.split(' ').map((bar) => bar.split('|').map(parseToken));
}

function parseToken(token: string): ToneChord {
  const match = /^(\d+)(?:\.([^/]+))?(?:\/(\d+))?$/.exec(token);
  const kind = match && SUFFIX[match[2] ?? ''];
  if (!match || !kind) throw new RangeError(`harmony: found "${token}"`);
  const root = Number(match[1]);
  return { root, kind, bass: match[3] === undefined ? root : Number(match[3]) };
}

function randomBars(d: Dice, mode: KeyLike['mode'], colour: Colour): ToneChord[][] {
  const count = d.pick([3, 4, 4, 4, 5, 6, 8]);
  return Array.from({ length: count }, () => {
    const [root, major, minor] = d.pick(STEPS);
    const suffix = colour !== 'plain' && d.chance(0.5) ? d.pick(ANY) : mode === 'major' ? major : minor;
    return [{ root, kind: SUFFIX[suffix] as string, bass: root }];
  });
}

/** A triad becomes a richer chord of its function: the dominant a seventh, others what is common on them. */
function coloured(d: Dice, chord: ToneChord, colour: Colour): ToneChord {
  const rate = colour === 'plain' ? 0.04 : colour === 'mixed' ? 0.3 : 0.8;
  if (!d.chance(rate)) return chord;
  if (chord.kind === 'min') return { ...chord, kind: d.pick(['min7', 'min7', 'min7', 'min7', 'min9', 'min6']) };
  if (chord.kind === 'dim') return { ...chord, kind: d.pick(['hdim7', 'hdim7', 'dim7']) };
  if (chord.kind !== 'maj') return chord;
  if (chord.root === 7 || chord.root === 2 || chord.root === 4)
    return { ...chord, kind: d.pick(['7', '7', '7', '7', '9', 'sus4(b7)', 'sus4']) };
  if (colour === 'plain') return { ...chord, kind: d.pick(['sus4', 'sus2', '7']) };
  return { ...chord, kind: d.pick(['maj7', 'maj7', 'maj7', 'maj6', 'maj(9)', 'sus2', 'sus4', '7']) };
}

/** Some chords get a bass that leads by step to or from its neighbours. */
function inversions(d: Dice, bars: ToneChord[][]): ToneChord[][] {
  if (d.chance(0.35)) return bars;
  const flat = bars.flat();
  const step = (a: number, b: number): boolean => [1, 2, 10, 11].includes(mod12(a - b));
  flat.forEach((chord, i) => {
    if (chord.bass !== chord.root || (i === 0 && !d.chance(0.15))) return;
    const notes = intervalsOf(chord.kind).filter((n) => n !== 0);
    const before = flat[(i + flat.length - 1) % flat.length]?.bass ?? 0;
    const after = flat[(i + 1) % flat.length]?.bass ?? 0;
    const leading = notes.filter((n) => step(chord.root + n, before) || step(chord.root + n, after));
    if (leading.length > 0 && d.chance(0.35)) flat[i] = { ...chord, bass: mod12(chord.root + d.pick(leading)) };
  });
  let at = 0;
  return bars.map((bar) => bar.map(() => flat[at++] as ToneChord));
}

/** Semitones of a kind's notes above its root, the root first, as they are stacked: a ninth stays above the octave's notes. */
export function intervalsOf(kind: string): readonly number[] {
  const chord = parseHarte(`C:${kind}`);
  if (chord?.kind !== 'chord') throw new RangeError(`harmony: "${kind}" is no kind of chord`);
  return chordIntervals(chord);
}

/** Harte syntax of a chord in a key; "N" for none. `shift` moves it by semitones. */
export function harteOf(chord: ToneChord | undefined, key: KeyLike, shift: number): string {
  if (!chord) return 'N';
  const moved = shift === 0 ? key : { tonic: spell(mod12(pitchClassOf(key.tonic) + shift)), mode: key.mode };
  const tonic = pitchClassOf(moved.tonic);
  const root = spell(mod12(tonic + chord.root), moved);
  const bass = degreeOf(root, spell(mod12(tonic + chord.bass), moved));
  const parsed = parseHarte(`${root}:${chord.kind}${bass === '1' ? '' : `/${bass}`}`);
  if (!parsed) throw new RangeError(`harmony: ${root}:${chord.kind}/${bass} cannot be written`);
  const text = formatHarte(parsed);
  return text.includes(':') ? text : `${text}:maj`;
}
