import { bassPitch, chordIntervals, chordPitches, type Chord } from './chord.js';
import { mod12, pitchClassOf } from './pitch.js';
import { hasBass, type Tuning } from './tuning.js';

/** A chord shape: for each string the fret, 0 open, undefined not played. */
export interface Shape {
  readonly frets: readonly (number | undefined)[];
  /** One finger lies across the strings `from` to `to` (places, both included) at `fret`. */
  readonly barre?: { readonly fret: number; readonly from: number; readonly to: number };
  /** Fingers it takes, 0 to 4. */
  readonly fingers: number;
  /** How hard it is to hold: 0 and up. */
  readonly effort: number;
}

/** Frets a hand spans without stretching; the low frets of a guitar lie wider than those of a ukulele. */
const SPAN = 3;
const FINGERS = 4;
/** Frets that shapes are looked for on. */
const FRETS = 12;

/**
 * Shapes of a chord, easiest first, found by search over the fretboard: every note of the chord sounds (a fifth may be
 * left out where there are too few strings, then ninths and more keep the third and seventh), no other does, four
 * fingers reach them. Empty for no chord, or where none was found.
 */
export function shapesOf(chord: Chord, tuning: Tuning, most = 8): readonly Shape[] {
  if (chord.kind !== 'chord') return [];
  const pitches = chordPitches(chord);
  const bass = bassPitch(chord);
  const allowed = new Set(bass === undefined ? pitches : [...pitches, bass]);
  const needed = neededPitches(chord, tuning.strings.length);
  const found = new Map<string, Shape>();
  for (let low = 1; low <= FRETS - SPAN; low++) {
    const options = tuning.strings.map((open) => optionsOf(open, low, allowed, hasBass(tuning)));
    each(options, (frets) => {
      const shape = shapeOf(frets, tuning, needed, pitches, bass, chord.bass !== undefined);
      if (shape) found.set(frets.map((fret) => fret ?? 'x').join(), shape);
    });
  }
  return [...found.values()].sort((a, b) => a.effort - b.effort || text(a).localeCompare(text(b))).slice(0, most);
}

/** "x32010", with brackets around frets of two digits: as shapes are written in a line (common practice, no source). */
export function shapeText(shape: Shape): string {
  return shape.frets.map((fret) => (fret === undefined ? 'x' : fret > 9 ? `(${fret})` : String(fret))).join('');
}

function text(shape: Shape): string {
  return shapeText(shape);
}

function optionsOf(open: number, low: number, allowed: ReadonlySet<number>, mayRest: boolean): (number | undefined)[] {
  const options: (number | undefined)[] = [];
  if (allowed.has(mod12(open))) options.push(0);
  for (let fret = low; fret <= low + SPAN; fret++) if (allowed.has(mod12(open + fret))) options.push(fret);
  if (mayRest || options.length === 0) options.push(undefined);
  return options;
}

function each(
  options: readonly (readonly (number | undefined)[])[],
  use: (frets: (number | undefined)[]) => void,
): void {
  const frets: (number | undefined)[] = [];
  const go = (string: number): void => {
    if (string === options.length) return use([...frets]);
    for (const fret of options[string]!) {
      frets[string] = fret;
      go(string + 1);
    }
  };
  go(0);
}

/** The notes that must sound: all, or, with too few strings, all but the fifth, the root, the lower extensions. */
function neededPitches(chord: Exclude<Chord, { kind: 'none' | 'unknown' }>, strings: number): readonly number[] {
  const root = pitchClassOf(chord.root);
  const intervals = chordIntervals(chord);
  const dispensable = [7, 0, 5, 2].filter((interval) => intervals.includes(interval));
  let kept = [...intervals];
  // The third, the seventh and what names the chord stay.
  while (kept.length > Math.min(strings, 4) && dispensable.length > 0) {
    const gone = dispensable.shift();
    kept = kept.filter((interval) => interval !== gone);
  }
  return kept.map((interval) => mod12(root + interval));
}

function shapeOf(
  frets: readonly (number | undefined)[],
  tuning: Tuning,
  needed: readonly number[],
  pitches: readonly number[],
  bass: number | undefined,
  slash: boolean,
): Shape | undefined {
  const notes = frets.flatMap((fret, i) => (fret === undefined ? [] : [tuning.strings[i]! + fret]));
  if (notes.length < Math.min(4, tuning.strings.length, Math.max(3, needed.length))) return undefined;
  const sounding = new Set(notes.map(mod12));
  if (!needed.every((pitch) => sounding.has(pitch))) return undefined;
  const lowest = mod12(Math.min(...notes));
  if (slash && hasBass(tuning) && lowest !== bass) return undefined;
  if (!slash && [...sounding].some((pitch) => !pitches.includes(pitch))) return undefined;
  const rests = restsCost(frets, hasBass(tuning));
  if (rests === undefined) return undefined;
  const hand = handOf(frets);
  if (!hand) return undefined;
  const left = pitches.filter((pitch) => !sounding.has(pitch)).length;
  const wrongBass = hasBass(tuning) && lowest !== bass ? 2.5 : 0;
  const slashLost = slash && lowest !== bass ? 0.5 : 0;
  return { frets, ...hand, effort: hand.effort + rests + left + wrongBass + slashLost };
}

/** Strings that rest are easy at the side of the bass, hard between others. Undefined when more than the hand can damp. */
function restsCost(frets: readonly (number | undefined)[], bassMatters: boolean): number | undefined {
  const first = frets.findIndex((fret) => fret !== undefined);
  const played = frets.filter((fret) => fret !== undefined).length;
  const last = frets.length - 1 - [...frets].reverse().findIndex((fret) => fret !== undefined);
  if (last - first + 1 - played > 1) return undefined;
  // One or two strings at the bass side rest in many open shapes; with three the chord is thin.
  // On four strings each is strummed.
  const bassSide = bassMatters ? [0, 0.25, 0.8, 3][Math.min(first, 3)]! : 2 * first;
  return bassSide + 1.7 * (frets.length - 1 - last) + 2.4 * (last - first + 1 - played);
}

/** A shape from its frets alone, -1 for a string that is not played: how it is held, and how hard that is. Undefined when no hand holds it. */
export function shapeFromFrets(frets: readonly number[]): Shape | undefined {
  const played = frets.map((fret) => (fret < 0 ? undefined : fret));
  const hand = handOf(played);
  return hand && { frets: played, ...hand };
}

/** How the hand holds the frets: fingers, barre, effort. Undefined when four fingers do not reach. */
function handOf(frets: readonly (number | undefined)[]): Pick<Shape, 'barre' | 'fingers' | 'effort'> | undefined {
  const pressed = frets.flatMap((fret, i) => (fret !== undefined && fret > 0 ? [{ fret, i }] : []));
  if (pressed.length === 0) return { fingers: 0, effort: 0 };
  const low = Math.min(...pressed.map(({ fret }) => fret));
  const high = Math.max(...pressed.map(({ fret }) => fret));
  if (high - low > SPAN) return undefined;
  const lowest = pressed.filter(({ fret }) => fret === low);
  const [from, to] = [lowest[0]!.i, lowest.at(-1)!.i];
  // A finger across would stop open strings under it.
  const across = frets.slice(from, to + 1).every((fret) => fret === undefined || fret >= low);
  // Nor can it lie flat beside an open string next to its root.
  const barred = lowest.length > 1 && across && frets[to + 1] !== 0;
  const spread = fingerSpread(pressed);
  const besides = fingerSpread(pressed.filter(({ fret }) => fret !== low));
  const single = pressed.length;
  const withBarre = 1 + pressed.length - lowest.length;
  const wide = to - from + 1;
  // Two neighbours are held by two fingers or one; a barre over more strings takes force.
  const plain = single <= FINGERS ? 0.55 * single + spread : Infinity;
  const barre = barred && withBarre <= FINGERS ? 0.55 * withBarre + 0.8 + 0.15 * wide + besides : Infinity;
  const effort = Math.min(plain, barre);
  if (effort === Infinity) return undefined;
  // Open strings beside high frets are easy to stop by mistake, and sound like another chord.
  const apart = low > 4 && frets.includes(0) ? 1.6 : 0;
  const place = apart + 0.16 * (low - 1) + 0.55 * Math.max(0, high - low - 1);
  return barre < plain
    ? { barre: { fret: low, from, to }, fingers: withBarre, effort: effort + place }
    : { fingers: single, effort: effort + place };
}

/** Fingers that lie far apart, or crowd one fret, are harder. */
function fingerSpread(pressed: readonly { readonly fret: number; readonly i: number }[]): number {
  const crowd = new Map<number, number>();
  for (const { fret } of pressed) crowd.set(fret, (crowd.get(fret) ?? 0) + 1);
  const most = Math.max(...crowd.values());
  return most > 2 ? 0.35 * (most - 2) : 0;
}

/**
 * How far the hand moves from one shape to the next: fingers that must be set anew, and frets it slides. 0 for the same
 * shape; open strings cost nothing.
 */
export function changeEffort(from: Shape, to: Shape): number {
  const place = (shape: Shape) => Math.min(...shape.frets.flatMap((fret) => (fret ? [fret] : [])), 13);
  const [a, b] = [place(from), place(to)];
  const slide = a > 12 || b > 12 ? 0 : Math.abs(a - b);
  return fingersMoved(from, to) + 0.5 * slide + (to.barre && !from.barre ? 0.8 : 0);
}

/** Fingers that are set anew when one shape follows another, 0 to 4: places on the fretboard that were not held before. */
export function fingersMoved(from: Shape, to: Shape): number {
  const held = (shape: Shape) => shape.frets.flatMap((fret, i) => (fret ? [`${i}:${fret}`] : []));
  const before = new Set(held(from));
  return Math.min(held(to).filter((place) => !before.has(place)).length, FINGERS);
}
