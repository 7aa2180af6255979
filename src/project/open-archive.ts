import { Inflate } from 'fflate';
import { MOST_UNPACKED, type Archive, type EntryLimits, type FileBytes, type Place } from './archive.js';
import { readDirectory, rowsOf, TAIL, type DirectoryRow } from './archive-directory.js';
import { entriesFromFront } from './archive-front.js';
import { LOCAL_HEADER } from './stored-zip.js';

/** Most packed bytes that are read, those that stay in the file not counted. */
const MOST_PACKED = 128 * 2 ** 20;
/** Most bytes that are read of an archive without a directory. */
const MOST_FROM_FRONT = 128 * 2 ** 20;
/**
 * An entry of more than so many bytes may unpack to so many times its packed size. DEFLATE reaches 1032; silent tracks
 * reach that too and are small; the JSON of a long history reaches some 50.
 */
const SMALL = 8 * 2 ** 20;
const MOST_RATIO = 200;
/** Packed bytes unpacked at a time: at most 1032 times as many come out. */
const PIECE = 2 ** 13;

const STORED = 0;
const DEFLATED = 8;

/** Opens an archive that is in memory. Throws ProjectProblem for what no program writes that means well. */
export function openArchive(file: Uint8Array, limits: EntryLimits): Archive {
  const tailAt = Math.max(0, file.length - TAIL);
  const end = readDirectory(file.subarray(tailAt), tailAt);
  const rows = end && rowsOf(file.subarray(end.start, end.start + end.size), end);
  const entries = rows?.map((row) => located(row, file.subarray(row.at, row.until), row.until));
  return entries?.every(isApart) ? new DirectoryArchive(entries, limits) : entriesFromFront(file, limits);
}

/** Opens an archive of which large entries stay in the file. Throws ProjectProblem for what no program writes that means well. */
export async function loadArchive(file: FileBytes, limits: EntryLimits): Promise<Archive> {
  const tailAt = Math.max(0, file.size - TAIL);
  const end = readDirectory(await file.read(tailAt, file.size), tailAt);
  const rows = end && rowsOf(await file.read(end.start, end.start + end.size), end);
  const entries: Located[] = [];
  let packed = 0;
  for (const row of rows ?? []) {
    if (row.method === STORED && limits.left(row.name)) {
      const head = await file.read(row.at, Math.min(row.until, row.at + LOCAL_HEADER));
      entries.push({ ...located(row, head, row.until), inFile: true });
      continue;
    }
    packed += row.until - row.at;
    // Who asks for what lies behind says that it is missing.
    if (packed <= MOST_PACKED) entries.push(located(row, await file.read(row.at, row.until), row.until));
  }
  return rows && entries.every(isApart)
    ? new DirectoryArchive(entries, limits)
    : entriesFromFront(await file.read(0, Math.min(file.size, MOST_FROM_FRONT)), limits);
}

interface Located extends DirectoryRow {
  /** From the local header on, up to where the next entry begins; of one that stays in the file, the header alone. */
  readonly bytes: Uint8Array;
  /** Length of the local header. */
  readonly header: number;
  readonly inFile?: boolean;
}

function located(row: DirectoryRow, bytes: Uint8Array, until: number): Located {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const long = bytes.length >= LOCAL_HEADER ? view.getUint16(26, true) + view.getUint16(28, true) : 0;
  return { ...row, until, bytes, header: LOCAL_HEADER + long };
}

/** True when the entry ends before the next one begins. */
function isApart({ at, header, packed, until }: Located): boolean {
  return at + header + packed <= until;
}

class DirectoryArchive implements Archive {
  readonly whole = true;
  produced = 0;
  readonly #entries: Map<string, Located>;
  readonly #limits: EntryLimits;

  constructor(entries: readonly Located[], limits: EntryLimits) {
    this.#entries = new Map(entries.map((entry) => [entry.name, entry]));
    this.#limits = limits;
  }

  take(name: string): Uint8Array | Place | undefined {
    const entry = this.#entries.get(name);
    if (!entry) return undefined;
    this.#entries.delete(name);
    const { method, packed, size, at, header, bytes } = entry;
    if (size > this.#limits.most(name)) throw new RangeError(`archive: "${name}" holds ${size} bytes`);
    if (method === STORED && packed === size) {
      if (entry.inFile) return { from: at + header, to: at + header + size };
      // A small part that is kept must not keep the whole file with it.
      const part = bytes.subarray(header, header + size);
      return this.#limits.left(name) ? part : part.slice();
    }
    if (method !== DEFLATED) throw new RangeError(`archive: "${name}" is packed by method ${method}`);
    if (size > SMALL && size > MOST_RATIO * packed)
      throw new RangeError(`archive: "${name}" unpacks to ${Math.round(size / packed)} times its size`);
    if (this.produced + size > MOST_UNPACKED)
      throw new RangeError(`archive: no room for the ${size} bytes of "${name}"`);
    this.produced += size;
    return inflated(bytes.subarray(header, header + packed), size);
  }
}

/** Unpacks to exactly `size` bytes; throws as soon as more come, and when fewer do. */
function inflated(packed: Uint8Array, size: number): Uint8Array {
  const out = new Uint8Array(size);
  let at = 0;
  const inflate = new Inflate((piece) => {
    if (at + piece.length > size) throw new RangeError('archive: an entry holds more than its directory says');
    out.set(piece, at);
    at += piece.length;
  });
  for (let from = 0; from < packed.length; from += PIECE)
    inflate.push(packed.subarray(from, from + PIECE), from + PIECE >= packed.length);
  if (at !== size) throw new RangeError('archive: an entry holds less than its directory says');
  return out;
}
