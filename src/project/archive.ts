import { msg, str } from '@lit/localize';
import { ProjectProblem } from './problem.js';

/** The bytes of a file, read piece by piece: fewer than asked for only where it ends. */
export interface FileBytes {
  readonly size: number;
  read(start: number, end: number): Promise<Uint8Array>;
}

/** Where in the file the bytes of an entry lie that is stored as it is. */
export interface Place {
  readonly from: number;
  readonly to: number;
}

/** Largest entry by its name, unpacked, in bytes; "left" is not read with the others but stays in the file. */
export interface EntryLimits {
  readonly most: (name: string) => number;
  readonly left: (name: string) => boolean;
}

/** Most bytes that the entries of an archive unpack to, those that stay in the file not counted. */
export const MOST_UNPACKED = 256 * 2 ** 20;

/** Most entries of an archive: a song that was analysed 100 times has some 1100. */
export const MOST_ENTRIES = 5000;

/** The entries of an archive, each unpacked when it is asked for. */
export interface Archive {
  /** False when it has no directory that can be trusted, and is read from its front as far as it goes. */
  readonly whole: boolean;
  /** Bytes unpacked so far. */
  readonly produced: number;
  /**
   * The bytes of an entry, or where in the file they lie; undefined when there is none of that name, or it was given
   * before. Throws when it is broken, or larger than its limit or than what is left of MOST_UNPACKED.
   */
  take(name: string): Uint8Array | Place | undefined;
}

/** The problem that two entries of an archive have one name, which no program writes that means well. */
export function repeatedName(name: string): ProjectProblem {
  return new ProjectProblem(
    'damaged',
    msg(
      str`This file is damaged: its archive has two entries of the name "${name.slice(0, 60)}". Load another copy of the file.`,
    ),
  );
}
