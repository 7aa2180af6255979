import { msg, str } from '@lit/localize';
import { strFromU8 } from 'fflate';
import { MOST_ENTRIES, repeatedName } from './archive.js';
import { ProjectProblem } from './problem.js';

/** The directory at the end of a ZIP archive. Format: APPNOTE.TXT by PKWARE, 4.3.12 to 4.3.16, and 4.5.3 (ZIP64). */

/** One row of the directory. */
export interface DirectoryRow {
  readonly name: string;
  /** 0 stored, 8 deflated. */
  readonly method: number;
  /** Bytes in the archive and unpacked, as the directory says. */
  readonly packed: number;
  readonly size: number;
  /** Where the entry's local header begins, and where the next entry or the directory does. */
  readonly at: number;
  readonly until: number;
}

/** Where the directory lies. */
export interface DirectoryPlace {
  readonly start: number;
  readonly size: number;
  readonly count: number;
}

const CENTRAL = 0x02014b50;
const ROW = 46;
const END = 0x06054b50;
const END_64 = 0x06064b50;
const LOCATOR_64 = 0x07064b50;
const MOST_16 = 0xffff;
const MOST_32 = 0xffffffff;
/** The end of the directory, a comment of the largest size behind it, and before it the two records of ZIP64. */
export const TAIL = 22 + MOST_16 + 20 + 56;

/** Finds the directory by the last bytes of a file, `tailAt` being where they begin; undefined where there is none. */
export function readDirectory(tail: Uint8Array, tailAt: number): DirectoryPlace | undefined {
  const view = new DataView(tail.buffer, tail.byteOffset, tail.length);
  for (let at = tail.length - 22; at >= 0; at--) {
    if (view.getUint32(at, true) !== END) continue;
    const end = tailAt + at;
    const count = view.getUint16(at + 10, true);
    const [size, start] = [view.getUint32(at + 12, true), view.getUint32(at + 16, true)];
    const large = count === MOST_16 || size === MOST_32 || start === MOST_32;
    const place = large ? end64(view, at) : { start, size, count };
    return place && place.start + place.size <= end ? place : undefined;
  }
  return undefined;
}

function end64(view: DataView, end: number): DirectoryPlace | undefined {
  const at = end - 20 - 56;
  if (at < 0 || view.getUint32(end - 20, true) !== LOCATOR_64 || view.getUint32(at, true) !== END_64) return undefined;
  const number = (offset: number): number => Number(view.getBigUint64(at + offset, true));
  return { count: number(32), size: number(40), start: number(48) };
}

/**
 * The rows of a directory in the order of their bytes; undefined where it breaks off or leads out of the file. Throws
 * ProjectProblem for too many entries and for two of one name.
 */
export function rowsOf(bytes: Uint8Array, { start, count }: DirectoryPlace): readonly DirectoryRow[] | undefined {
  if (count > MOST_ENTRIES)
    throw new ProjectProblem(
      'damaged',
      msg(
        str`This file is damaged: its archive has ${count} entries, and at most ${MOST_ENTRIES} are read. Load another copy of the file.`,
      ),
    );
  const rows: Omit<DirectoryRow, 'until'>[] = [];
  const names = new Set<string>();
  let at = 0;
  for (let n = 0; n < count; n++) {
    const read = rowAt(bytes, at);
    if (!read || read.row.at >= start) return undefined;
    if (names.has(read.row.name)) throw repeatedName(read.row.name);
    names.add(read.row.name);
    rows.push(read.row);
    at = read.next;
  }
  rows.sort((a, b) => a.at - b.at);
  return rows.map((row, i) => ({ ...row, until: rows[i + 1]?.at ?? start }));
}

function rowAt(bytes: Uint8Array, at: number): { row: Omit<DirectoryRow, 'until'>; next: number } | undefined {
  if (at + ROW > bytes.length) return undefined;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  if (view.getUint32(at, true) !== CENTRAL) return undefined;
  const [name, extra, comment] = [28, 30, 32].map((offset) => view.getUint16(at + offset, true)) as [
    number,
    number,
    number,
  ];
  const next = at + ROW + name + extra + comment;
  if (next > bytes.length) return undefined;
  const utf8 = (view.getUint16(at + 8, true) & 0x800) !== 0;
  // What does not fit 32 bits stands in an extra field, in this order.
  const wide = wideNumbers(view, at + ROW + name, at + ROW + name + extra);
  const number = (offset: number): number => {
    const short = view.getUint32(at + offset, true);
    return short === MOST_32 ? (wide.shift() ?? short) : short;
  };
  const [size, packed, header] = [number(24), number(20), number(42)];
  const row = {
    name: strFromU8(bytes.subarray(at + ROW, at + ROW + name), !utf8),
    method: view.getUint16(at + 10, true),
    size,
    packed,
    at: header,
  };
  return { row, next };
}

function wideNumbers(view: DataView, from: number, to: number): number[] {
  for (let at = from; at + 4 <= to;) {
    const size = view.getUint16(at + 2, true);
    if (view.getUint16(at, true) === 1 && at + 4 + size <= to)
      return Array.from({ length: Math.floor(size / 8) }, (_, i) => Number(view.getBigUint64(at + 4 + 8 * i, true)));
    at += 4 + size;
  }
  return [];
}
