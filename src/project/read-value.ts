import { msg, str } from '@lit/localize';
import { ProjectProblem } from './problem.js';

/** Reads a value from outside into what it must be, or throws a ProjectProblem that names the place. */
export type Reader<T> = (value: unknown, place: string) => T;

/** Longest text in a project, in characters. */
const LONGEST_TEXT = 2000;

/** Longest list in a project: several times the beats of the longest recording. */
export const LONGEST_LIST = 100_000;

/** The problem that a value is not what it must be. */
export function damaged(place: string, wanted: string, found?: unknown): ProjectProblem {
  const what =
    found === undefined ? msg('nothing') : typeof found === 'object' ? kindOf(found) : String(found).slice(0, 40);
  return new ProjectProblem(
    'damaged',
    msg(
      str`This project file is damaged: ${place} must be ${wanted}, and ${what} was found. Load another copy of the file.`,
    ),
  );
}

function kindOf(value: object | null): string {
  if (value === null) return 'null';
  return Array.isArray(value) ? msg('a list') : msg('an object');
}

/** Fields of an object; what is not asked for is left behind. Own keys only, so nothing comes from a prototype. */
export type Fields = (key: string) => unknown;

export function readObject(value: unknown, place: string): Fields {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw damaged(place, msg('an object'), value);
  return (key) => (Object.hasOwn(value, key) ? (value as Record<string, unknown>)[key] : undefined);
}

export function readList<T>(value: unknown, place: string, item: Reader<T>): readonly T[] {
  if (!Array.isArray(value)) throw damaged(place, msg('a list'), value);
  if (value.length > LONGEST_LIST)
    throw damaged(place, msg(str`a list of at most ${LONGEST_LIST}`), msg(str`one of ${value.length}`));
  return (value as unknown[]).map((entry, i) => item(entry, `${place} ${i + 1}`));
}

/** A number from `low` to `high`, both included. */
export function readNumber(value: unknown, place: string, low: number, high: number): number {
  if (typeof value !== 'number' || !(value >= low && value <= high)) {
    throw damaged(place, msg(str`a number from ${low} to ${high}`), value);
  }
  return value;
}

export function readInteger(value: unknown, place: string, low: number, high: number): number {
  const number = readNumber(value, place, low, high);
  if (!Number.isInteger(number)) throw damaged(place, msg('a whole number'), value);
  return number;
}

export function readText(value: unknown, place: string, longest = LONGEST_TEXT): string {
  if (typeof value !== 'string') throw damaged(place, msg('a text'), value);
  if (value.length > longest)
    throw damaged(place, msg(str`a text of at most ${longest} characters`), msg(str`one of ${value.length}`));
  return value;
}

export function readOneOf<T extends string | number>(value: unknown, place: string, choices: readonly T[]): T {
  const found = choices.find((choice) => choice === value);
  if (found === undefined) throw damaged(place, msg(str`one of ${choices.join(', ')}`), value);
  return found;
}

/** `{ key: value }` for a field that is there, `{}` for one that is not: optional keys stay absent. */
export function optional<K extends string, T>(
  fields: Fields,
  key: K,
  place: string,
  reader: Reader<T>,
): { readonly [key in K]?: T } {
  const value = fields(key);
  return value === undefined ? {} : ({ [key]: reader(value, `${place}, ${key}`) } as { readonly [key in K]?: T });
}
