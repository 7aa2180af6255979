import { strFromU8, strToU8 } from 'fflate';

/**
 * Writing ZIP archives whose entries are stored as they are, whatever their total size, and reading them from the front, so
 * that an archive that was cut off gives what is whole in it. Format: APPNOTE.TXT by PKWARE, 4.3 and 4.5.3 (ZIP64).
 */

/** An entry whose bytes lie elsewhere. */
export interface StoredEntry {
  readonly name: string;
  /** In bytes; below 4 GiB. */
  readonly size: number;
  readonly crc: number;
}

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const END_64 = 0x06064b50;
const LOCATOR_64 = 0x07064b50;
const MOST_32 = 0xffffffff;
const MOST_16 = 0xffff;
/** Length of a local header without its name. */
export const LOCAL_HEADER = 30;
/** Names are in UTF-8. */
const UTF8_NAMES = 0x800;
/** The first of January 2020, as MS-DOS writes dates: nothing depends on the clock. */
const DATE = (40 << 9) | (1 << 5) | 1;

/** What stands before the bytes of an entry. Throws a RangeError when it is too large. */
export function localHeader(entry: StoredEntry): Uint8Array<ArrayBuffer> {
  if (entry.size >= MOST_32) throw new RangeError(`localHeader: "${entry.name}" is larger than 4 GiB; split it`);
  const name = strToU8(entry.name);
  return parts([4, LOCAL], [2, 20], ...common(entry, name), [2, 0], name);
}

/** What stands after all entries; each with where its local header begins. */
export function directory(entries: readonly (StoredEntry & { readonly at: number })[]): Uint8Array<ArrayBuffer> {
  const rows = entries.map((entry) => {
    const name = strToU8(entry.name);
    const far = entry.at >= MOST_32;
    return parts(
      [4, CENTRAL],
      [2, 45],
      [2, far ? 45 : 20],
      ...common(entry, name),
      [2, far ? 12 : 0],
      [2, 0],
      [2, 0],
      [2, 0],
      [4, 0],
      [4, far ? MOST_32 : entry.at],
      name,
      ...(far
        ? ([
            [2, 1],
            [2, 8],
            [8, entry.at],
          ] as const)
        : []),
    );
  });
  const last = entries.at(-1);
  const start = last ? last.at + LOCAL_HEADER + strToU8(last.name).length + last.size : 0;
  const size = rows.reduce((sum, row) => sum + row.length, 0);
  const count = entries.length;
  const large = start >= MOST_32 || count >= MOST_16;
  const end64 = large
    ? [
        parts([4, END_64], [8, 44], [2, 45], [2, 45], [4, 0], [4, 0], [8, count], [8, count], [8, size], [8, start]),
        parts([4, LOCATOR_64], [4, 0], [8, start + size], [4, 1]),
      ]
    : [];
  const shortCount = large ? MOST_16 : count;
  const end = parts(
    [4, END],
    [2, 0],
    [2, 0],
    [2, shortCount],
    [2, shortCount],
    [4, large ? MOST_32 : size],
    [4, large ? MOST_32 : start],
    [2, 0],
  );
  return joined([...rows, ...end64, end]);
}

/** The entry whose local header is at the front of `head`, and how long that header is; undefined when none is there. */
export function readLocalHeader(head: Uint8Array): (StoredEntry & { readonly header: number }) | undefined {
  if (head.length < LOCAL_HEADER) return undefined;
  const view = new DataView(head.buffer, head.byteOffset, head.length);
  const [flags, method] = [view.getUint16(6, true), view.getUint16(8, true)];
  if (view.getUint32(0, true) !== LOCAL || method !== 0 || (flags & ~UTF8_NAMES) !== 0) return undefined;
  const nameLength = view.getUint16(26, true);
  const header = LOCAL_HEADER + nameLength + view.getUint16(28, true);
  if (head.length < LOCAL_HEADER + nameLength) return undefined;
  const name = strFromU8(head.subarray(LOCAL_HEADER, LOCAL_HEADER + nameLength));
  return { name, size: view.getUint32(18, true), crc: view.getUint32(14, true), header };
}

/** From the flags to the length of the name: the same in both headers. */
function common({ size, crc }: StoredEntry, name: Uint8Array): Field[] {
  return [
    [2, UTF8_NAMES],
    [2, 0],
    [2, 0],
    [2, DATE],
    [4, crc],
    [4, size],
    [4, size],
    [2, name.length],
  ];
}

/** A number with how many bytes it takes, the lowest first. */
type Field = readonly [bytes: 2 | 4 | 8, value: number];

function parts(...fields: readonly (Field | Uint8Array)[]): Uint8Array<ArrayBuffer> {
  return joined(
    fields.map((field) => {
      if (field instanceof Uint8Array) return field;
      const [bytes, value] = field;
      return Uint8Array.from({ length: bytes }, (_, i) => Math.floor(value / 256 ** i) % 256);
    }),
  );
}

/** Pieces one after another. */
export function joined(pieces: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const all = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}
