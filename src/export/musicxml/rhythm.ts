import { beatsOf, type Meter } from '../../music/meter.js';
import { strokesOf, type Stroke, type Strum } from '../../music/strum.js';

/** Divisions of a quarter and of a whole note: 24ths of a beat and 128th notes are whole numbers of them. */
export const DIVISIONS = 96;
const WHOLE = 4 * DIVISIONS;

/** A note value that can be written as one note. */
export interface NoteValue {
  readonly type: string;
  readonly dots: 0 | 1;
}

/** A note or rest of a bar, in divisions from its start. */
export interface RhythmNote {
  readonly start: number;
  readonly duration: number;
  readonly value: NoteValue;
  /** Where a stroke begins; the other notes of its length are tied to the first. Absent in a rest. */
  readonly stroke?: Exclude<Stroke, '-'>;
  readonly rest?: true;
  readonly tied?: { readonly from: boolean; readonly to: boolean };
  /** Three in the time of two; at the ends of the beat the bracket begins and stops. */
  readonly triplet?: { readonly starts: boolean; readonly stops: boolean };
}

const TYPES = ['whole', 'half', 'quarter', 'eighth', '16th', '32nd', '64th', '128th'];
const VALUES: readonly (readonly [number, NoteValue])[] = TYPES.flatMap((type, i): (readonly [number, NoteValue])[] => [
  [(WHOLE / 2 ** i) * 1.5, { type, dots: 1 }],
  [WHOLE / 2 ** i, { type, dots: 0 }],
]).filter(([length]) => Number.isInteger(length));

/** Length of a bar, and of its beat, in divisions. */
export function barLength({ count, unit }: Meter): number {
  return (count * WHOLE) / unit;
}
export function beatLength({ beatUnits, unit }: Meter): number {
  return (beatUnits * WHOLE) / unit;
}

/** The single note that lasts so many divisions; undefined when none does. */
export function singleValue(duration: number): NoteValue | undefined {
  return VALUES.find(([length]) => length === duration)?.[1];
}

/**
 * Which group of a bar a place in divisions lies in, from 0: a group of a time signature like 7/8 (2+2+3) whose units are
 * shorter than a quarter, else a beat.
 */
export function groupAt(meter: Meter): (start: number) => number {
  const starts = groupStarts(meter);
  return (start) => starts.filter((each) => each <= start).length - 1;
}

function groupStarts(meter: Meter): readonly number[] {
  const [bar, beat] = [barLength(meter), beatLength(meter)];
  const { grouping = [], unit } = meter;
  if (grouping.length < 2 || unit < 8)
    return Array.from({ length: Math.ceil(bar / beat - 1e-9) }, (_, place) => place * beat);
  let units = 0;
  return grouping.map((count) => ((units += count) - count) * (WHOLE / unit));
}

/** A slash a beat, or a group of short beats, which is how a bar of 7/8 (2+2+3) is felt: short, short, long. */
export function beatSlashes(meter: Meter): readonly RhythmNote[] {
  const starts = groupStarts(meter);
  return starts.flatMap((start, i) =>
    notes(start, starts[i + 1] ?? barLength(meter), { beat: beatLength(meter), triplets: false, stroke: 'd' }),
  );
}

/**
 * The rhythm of a strum pattern in a bar whose chords change on `changes` (beats from 0): each stroke lasts until the next,
 * tied where it goes on over a beat it does not begin on.
 */
export function strumRhythm(strum: Strum, meter: Meter, changes: readonly number[]): readonly RhythmNote[] {
  const [bar, beat] = [barLength(meter), beatLength(meter)];
  const onGrid = changes.map((change) => Math.round(change * strum.parts) / strum.parts);
  const strokes = strokesOf(strum, beatsOf(meter), onGrid);
  // A dotted beat has three parts without triplets.
  const triplets = strum.parts === 3 && Number.isInteger(Math.log2(WHOLE / beat));
  const at = (place: number): number => Math.round(place * beat);
  const first = strokes[0] ? at(strokes[0].beat) : bar;
  return [
    ...notes(0, first, { beat, triplets }),
    ...strokes.flatMap(({ beat: place, stroke }, i) => {
      const next = strokes[i + 1];
      return notes(at(place), next ? at(next.beat) : bar, { beat, triplets, stroke });
    }),
  ];
}

/** Rests of so many divisions. */
export function rests(duration: number): readonly RhythmNote[] {
  return notes(0, duration, { beat: WHOLE, triplets: false });
}

interface How {
  readonly beat: number;
  readonly triplets: boolean;
  readonly stroke?: Exclude<Stroke, '-'>;
}

/** One length as notes that can be written: whole beats together where one note says them, else up to the next beat. */
function notes(from: number, to: number, { beat, triplets, stroke }: How): RhythmNote[] {
  const found: RhythmNote[] = [];
  for (let at = from; at < to;) {
    const inBeat = at % beat;
    const whole = inBeat === 0 ? longest(Math.floor((to - at) / beat), beat) : 0;
    const end = whole > 0 ? at + whole * beat : Math.min(to, at - inBeat + beat);
    const part = end - at;
    const triplet = triplets && whole === 0 && Number.isInteger((3 * part) / beat);
    let start = at;
    for (const [length, value] of values(triplet ? (part * 3) / 2 : part)) {
      const duration = triplet ? (length * 2) / 3 : length;
      const ends = { starts: start % beat === 0, stops: (start + duration) % beat === 0 };
      found.push({ start, duration, value, ...(triplet ? { triplet: ends } : {}) });
      start += duration;
    }
    at = end;
  }
  if (stroke === undefined) return found.map((note) => ({ ...note, rest: true }));
  return found.map((note, i) => ({
    ...note,
    ...(i === 0 ? { stroke } : {}),
    ...(found.length > 1 ? { tied: { from: i > 0, to: i < found.length - 1 } } : {}),
  }));
}

/** The most beats, four at most, that a single note says. */
function longest(most: number, beat: number): number {
  for (let beats = Math.min(4, most); beats >= 1; beats--) if (singleValue(beats * beat)) return beats;
  return 0;
}

function values(duration: number): (readonly [number, NoteValue])[] {
  const found: (readonly [number, NoteValue])[] = [];
  for (let left = duration; left > 0;) {
    const next = VALUES.find(([length]) => length <= left);
    if (!next) throw new RangeError(`rhythm: ${left} divisions are shorter than any note`);
    found.push(next);
    left -= next[0];
  }
  return found;
}

/** How a note is beamed at each level, from 1: with its neighbours in the same group; empty for notes without flags. */
export function beams(all: readonly RhythmNote[], place: number, group: (start: number) => number): readonly string[] {
  const level = (note: RhythmNote | undefined): number =>
    !note || note.rest ? 0 : Math.max(0, TYPES.indexOf(note.value.type) - 2);
  const own = all[place];
  if (!own) return [];
  const same = (other: RhythmNote | undefined): number =>
    other && group(other.start) === group(own.start) ? level(other) : 0;
  const [before, after] = [same(all[place - 1]), same(all[place + 1])];
  if (before === 0 && after === 0) return [];
  return Array.from({ length: level(own) }, (_, i) => {
    const [left, right] = [before > i, after > i];
    if (left && right) return 'continue';
    if (left) return 'end';
    if (right) return 'begin';
    return before > 0 ? 'backward hook' : 'forward hook';
  });
}
