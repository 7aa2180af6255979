/** What the golden corpus holds of a song: plain data, times in seconds. */
export interface SongFacts {
  readonly id: string;
  readonly levels: readonly LevelFact[];
  /** The first map, then the map after each list of edits. */
  readonly states: readonly StateFacts[];
}

/** A way to count the whole song that was considered, likeliest first. */
export type LevelFact = readonly [bpm: number, beats: number, firstBeat: number, score: number];

/** The map after a list of edits. */
export interface StateFacts extends MapFacts {
  /** The list as it stands in recordings.ts, by which the same one is known again. */
  readonly edits: readonly unknown[];
  readonly steps: readonly StepFact[];
}

/** An edit and what became of it. */
export interface StepFact {
  readonly edit: string;
  /** "done", "is so already", "in the way", "impossible", or "refused: " and the reason. */
  readonly outcome: string;
  /** The locks that are or were in the way. */
  readonly inTheWay?: readonly string[];
}

export interface MapFacts {
  readonly head: Readonly<Record<string, unknown>>;
  /** What else the map holds. */
  readonly more: Readonly<Record<string, unknown>>;
  readonly spans: readonly SpanFact[];
  readonly plan: readonly PlanFact[];
  readonly doubts: readonly DoubtFact[];
  readonly sections: readonly SectionFact[];
  readonly chords: readonly ChordFact[];
  readonly locks: readonly LockFact[];
  readonly passes: readonly PassesFact[];
}

/** A bar by its name, or another stretch by its kind. */
export interface SpanFact {
  readonly span: string;
  readonly start: number;
  readonly beats?: number;
  readonly meter?: string;
  readonly sure?: number;
  readonly pickup?: true;
  readonly times?: readonly number[];
}

/** How a part of the song is counted. */
export interface PlanFact {
  readonly from: number;
  readonly to: number;
  readonly bpm: number;
  readonly beats: number;
  readonly score: number;
  readonly meter: string;
  readonly grid: number;
  readonly against: boolean;
}

export interface DoubtFact {
  readonly bar: string;
  readonly time: number;
  readonly weight: number;
  readonly kind: string;
  readonly text: string;
  readonly keep: readonly unknown[];
  readonly other: readonly unknown[];
}

export interface SectionFact {
  readonly bar: string;
  readonly name: string;
  readonly letter: string;
  readonly start: number;
  readonly origin: string;
}

export type ChordFact = readonly [time: number, harte: string, origin: string, confidence: number];

export interface LockFact {
  readonly says: string;
  readonly id: string;
  readonly kind: string;
}

/** The passes of a section; columns are the bars (from 0) that stand with each other, + where only some passes have one. */
export interface PassesFact {
  readonly letter: string;
  readonly name: string;
  readonly passes: readonly (readonly [first: string, last: string, shift: number])[];
  readonly columns: readonly string[];
  readonly differences: readonly { readonly words: string; readonly confidence: number }[];
}

/** Numbers are written to so many decimals (see `differs`). */
const DECIMALS = 6;
/** Two numbers closer than this are the same. */
const SAME = 1.5 * 10 ** -DECIMALS;

/**
 * True when two values differ. Numbers that were computed may differ in their last bits on another machine, as the exponential
 * functions of two engines do, so they are the same when they lie within a unit of the last decimal that is written;
 * whole numbers, words and everything else are compared exactly.
 */
export function differs(a: unknown, b: unknown): boolean {
  if (typeof a === 'number' && typeof b === 'number') {
    return Number.isInteger(a) && Number.isInteger(b) ? a !== b : !(Math.abs(a - b) <= SAME);
  }
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return a !== b;
  if (Array.isArray(a) !== Array.isArray(b)) return true;
  const [one, other] = [a, b] as Readonly<Record<string, unknown>>[] as [
    Readonly<Record<string, unknown>>,
    Readonly<Record<string, unknown>>,
  ];
  const keys = Object.keys(one);
  return (
    keys.length !== Object.keys(other).length || keys.some((key) => !(key in other) || differs(one[key], other[key]))
  );
}

/** Parts of a later state that are those of the first one are written so. */
const AS_FIRST = 'as in the first map';

/** The facts as a text with a line for each bar, chord, doubt and so on, so that versions can be compared line by line. */
export function factsText(song: SongFacts): string {
  const [first, ...later] = song.states;
  const states = [
    first,
    ...later.map((state) =>
      Object.fromEntries(
        Object.entries(state).map(([part, value]) => [
          part,
          first && JSON.stringify(value) === JSON.stringify(first[part as keyof StateFacts]) ? AS_FIRST : value,
        ]),
      ),
    ),
  ];
  return `${lines(rounded({ ...song, states }), '')}\n`;
}

/** Reads what factsText wrote. */
export function readFacts(text: string): SongFacts {
  const song = JSON.parse(text) as SongFacts;
  const [first, ...later] = song.states;
  const whole = (state: StateFacts): StateFacts =>
    Object.fromEntries(
      Object.entries(state).map(([part, value]) => [
        part,
        value === AS_FIRST ? first?.[part as keyof StateFacts] : (value as unknown),
      ]),
    ) as unknown as StateFacts;
  return { ...song, states: first ? [first, ...later.map(whole)] : [] };
}

function rounded(value: unknown): unknown {
  if (typeof value === 'number') return Number(value.toFixed(DECIMALS));
  if (Array.isArray(value)) return value.map(rounded);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, own]) => [key, rounded(own)]));
}

function lines(value: unknown, indent: string): string {
  if (isFlat(value)) return JSON.stringify(value);
  const inner = `${indent} `;
  if (Array.isArray(value)) return `[\n${value.map((one) => inner + lines(one, inner)).join(',\n')}\n${indent}]`;
  const entries = Object.entries(value as object).filter(([, own]) => own !== undefined);
  return `{\n${entries.map(([key, own]) => `${inner}${JSON.stringify(key)}: ${lines(own, inner)}`).join(',\n')}\n${indent}}`;
}

/** True when no list in it holds more than words and numbers. */
function isFlat(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return true;
  if (Array.isArray(value)) return value.every((one) => typeof one !== 'object');
  return Object.values(value).every(isFlat);
}
