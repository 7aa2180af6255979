import { ascii, viewOf, type ByteSource } from './source.js';

/** One page of one logical stream (RFC 3533), its packets put together. */
export interface OggPage {
  readonly serial: number;
  readonly sequence: number;
  readonly first: boolean;
  readonly last: boolean;
  /** Position of the stream after the packets that end on this page; undefined when none ends here. */
  readonly granule?: number;
  /** The packets that end on this page, whole. */
  readonly packets: readonly Uint8Array[];
}

const PIECE = 1 << 17;

/**
 * The pages of all streams of a file from byte `start` on, in the file's order. Bytes that are no page, or a page whose
 * checksum is wrong, are passed over: its packets are missing, and the sequence number shows it.
 */
export async function* oggPages(source: ByteSource, start: number): AsyncGenerator<OggPage> {
  const unfinished = new Map<number, Uint8Array[]>();
  let held = new Uint8Array(0);
  let at = 0;
  let next = start;
  for (;;) {
    const size = pageSize(held, at);
    if (size === 'more') {
      const piece = next < source.size ? await source.read(next, next + PIECE) : new Uint8Array(0);
      if (piece.length === 0) {
        // A page that never ends may hide whole ones after it.
        if (at + 27 > held.length) return;
        at++;
        continue;
      }
      next += piece.length;
      held = joined([held.subarray(at), piece]);
      at = 0;
    } else if (size === 0) {
      at++;
      const sign = held.indexOf(0x4f, at);
      at = sign < 0 ? held.length : sign;
    } else {
      yield assemble(held.subarray(at, at + size), unfinished);
      at += size;
    }
  }
}

/** Length of the page at `at`; 0 when none is there, 'more' when it needs further bytes to tell. */
function pageSize(bytes: Uint8Array, at: number): number | 'more' {
  if (at + 27 > bytes.length) return 'more';
  if (bytes[at] !== 0x4f || ascii(bytes, at, 4) !== 'OggS' || bytes[at + 4] !== 0) return 0;
  const segments = bytes[at + 26]!;
  if (at + 27 + segments > bytes.length) return 'more';
  let size = 27 + segments;
  for (let i = 0; i < segments; i++) size += bytes[at + 27 + i]!;
  if (at + size > bytes.length) return 'more';
  return checksum(bytes, at, at + size) === viewOf(bytes).getUint32(at + 22, true) ? size : 0;
}

function assemble(page: Uint8Array, unfinished: Map<number, Uint8Array[]>): OggPage {
  const view = viewOf(page);
  const flags = page[5]!;
  const serial = view.getUint32(14, true);
  const segments = page[26]!;
  let parts = unfinished.get(serial) ?? [];
  // A packet goes on from the page before exactly when the flag says so; else what was lost is left out.
  let skipping = (flags & 1) === 1 && parts.length === 0;
  if ((flags & 1) === 0) parts = [];
  const packets: Uint8Array[] = [];
  let from = 27 + segments;
  for (let i = 0, to = from; i < segments; i++) {
    to += page[27 + i]!;
    if (page[27 + i] === 255) continue;
    if (!skipping) packets.push(joined([...parts, page.subarray(from, to)]));
    skipping = false;
    parts = [];
    from = to;
  }
  if (from < page.length && !skipping) parts = [...parts, page.slice(from)];
  unfinished.set(serial, parts);
  const granule = view.getBigInt64(6, true);
  return {
    serial,
    sequence: view.getUint32(18, true),
    first: (flags & 2) !== 0,
    last: (flags & 4) !== 0,
    granule: granule < 0n || granule > BigInt(Number.MAX_SAFE_INTEGER) ? undefined : Number(granule),
    packets,
  };
}

/** The position that the last page of a stream gives, found at the end of the file; undefined when none is there. */
export async function lastGranule(source: ByteSource, serial: number): Promise<number | undefined> {
  let found: number | undefined;
  for await (const page of oggPages(source, Math.max(0, source.size - (1 << 17))))
    if (page.serial === serial && page.granule !== undefined) found = page.granule;
  return found;
}

export function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** CRC of RFC 3533, 6: polynomial 04c11db7, no reflection, the checksum's own field taken as zero. */
function checksum(bytes: Uint8Array, from: number, to: number): number {
  let crc = 0;
  for (let i = from; i < to; i++) {
    const byte = i >= from + 22 && i < from + 26 ? 0 : bytes[i]!;
    crc = (crc << 8) ^ CRC[(crc >>> 24) ^ byte]!;
  }
  return crc >>> 0;
}

const CRC = Int32Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 24;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x80000000 ? (crc << 1) ^ 0x04c11db7 : crc << 1;
  return crc;
});
