import { deflateSync, strToU8 } from 'fflate';
import { crc32 } from '../../src/project/crc32.js';

/** An entry as an archive holds it, packed already, so that its directory can say of it what is not so. */
export interface OddEntry {
  readonly name: string;
  readonly packed: Uint8Array;
  readonly size: number;
  readonly crc: number;
  /** 0 stored, 8 deflated. */
  readonly method: number;
}

export function packed(name: string, bytes: Uint8Array): OddEntry {
  return { name, packed: deflateSync(bytes), size: bytes.length, crc: crc32(bytes), method: 8 };
}

export function stored(name: string, bytes: Uint8Array): OddEntry {
  return { name, packed: bytes, size: bytes.length, crc: crc32(bytes), method: 0 };
}

/**
 * A ZIP archive of any entries (APPNOTE.TXT by PKWARE, 4.3.6 to 4.3.16). `also`: further rows of the directory, each for
 * the bytes of the entry `of`. `cut`: without the directory.
 */
export function oddArchive(
  entries: readonly OddEntry[],
  { also = [], cut = false }: { also?: readonly { name: string; of: number }[]; cut?: boolean } = {},
): Uint8Array {
  const pieces: Uint8Array[] = [];
  const starts: number[] = [];
  let at = 0;
  for (const entry of entries) {
    const head = localOf(entry);
    starts.push(at);
    pieces.push(head, entry.packed);
    at += head.length + entry.packed.length;
  }
  if (cut) return new Uint8Array(Buffer.concat(pieces));
  const rows = [
    ...entries.map((entry, i) => rowOf(entry, starts[i]!)),
    ...also.map(({ name, of }) => rowOf({ ...entries[of]!, name }, starts[of]!)),
  ];
  return new Uint8Array(Buffer.concat([...pieces, ...rows, endOf(rows, at)]));
}

/** The local header, of 30 bytes and the name. */
export function localOf({ name, method, crc, packed: bytes, size }: OddEntry): Buffer {
  const head = Buffer.alloc(30);
  head.writeUInt32LE(0x04034b50, 0);
  head.writeUInt16LE(0x800, 6);
  head.writeUInt16LE(method, 8);
  head.writeUInt32LE(crc, 14);
  head.writeUInt32LE(bytes.length, 18);
  head.writeUInt32LE(size, 22);
  head.writeUInt16LE(strToU8(name).length, 26);
  return Buffer.concat([head, strToU8(name)]);
}

/** A row of the directory; `sizes` in place of the entry's own. */
export function rowOf(entry: OddEntry, at: number, sizes = { packed: entry.packed.length, size: entry.size }): Buffer {
  const row = Buffer.alloc(46);
  row.writeUInt32LE(0x02014b50, 0);
  row.writeUInt16LE(0x800, 8);
  row.writeUInt16LE(entry.method, 10);
  row.writeUInt32LE(entry.crc, 16);
  row.writeUInt32LE(sizes.packed, 20);
  row.writeUInt32LE(sizes.size, 24);
  row.writeUInt16LE(strToU8(entry.name).length, 28);
  row.writeUInt32LE(at, 42);
  return Buffer.concat([row, strToU8(entry.name)]);
}

export function endOf(rows: readonly Uint8Array[], start: number): Buffer {
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(rows.length, 8);
  end.writeUInt16LE(rows.length, 10);
  end.writeUInt32LE(
    rows.reduce((sum, row) => sum + row.length, 0),
    12,
  );
  end.writeUInt32LE(start, 16);
  return end;
}
