import { strFromU8, strToU8, unzipSync } from 'fflate';
import { expect, it } from 'vitest';
import { crc32 } from '../../src/project/crc32.js';
import { directory, localHeader, readLocalHeader } from '../../src/project/stored-zip.js';

const files = { 'list.json': '{}', 'Zwölf Töne.bin': 'x'.repeat(1000), empty: '' };

function archive(): { bytes: Uint8Array; entries: { name: string; size: number; crc: number; at: number }[] } {
  let all: number[] = [];
  const entries = Object.entries(files).map(([name, text]) => {
    const bytes = strToU8(text);
    const entry = { name, size: bytes.length, crc: crc32(bytes), at: all.length };
    all = [...all, ...localHeader(entry), ...bytes];
    return entry;
  });
  return { bytes: Uint8Array.from([...all, ...directory(entries)]), entries };
}

it('an archive of stored entries is read by another reader (fflate)', () => {
  const read = unzipSync(archive().bytes);
  expect(Object.fromEntries(Object.entries(read).map(([name, bytes]) => [name, strFromU8(bytes)]))).toEqual(files);
});

it('is read from the front, entry by entry, until it ends or breaks off', () => {
  const { bytes, entries } = archive();
  let at = 0;
  for (const { name, size, crc } of entries) {
    const found = readLocalHeader(bytes.subarray(at));
    expect(found).toMatchObject({ name, size, crc });
    at += found!.header + size;
  }
  expect(readLocalHeader(bytes.subarray(at))).toBeUndefined();
  expect(readLocalHeader(bytes.subarray(0, 20))).toBeUndefined();
  expect(readLocalHeader(bytes.subarray(0, 33))).toBeUndefined();
});

it('says in 64 bits what lies beyond 4 GiB (APPNOTE.TXT 4.3.14, 4.3.15 and 4.5.3)', () => {
  const at = 5 * 2 ** 30;
  const tail = directory([
    { name: 'a', size: 10, crc: 1, at: 0 },
    { name: 'b', size: 20, crc: 2, at },
  ]);
  const view = new DataView(tail.buffer);
  const row = 46 + 1;
  expect(view.getUint32(row + 42, true)).toBe(0xffffffff);
  expect(view.getUint16(row + 30, true)).toBe(12);
  expect([view.getUint16(row + 47, true), view.getUint16(row + 49, true)]).toEqual([1, 8]);
  expect(view.getBigUint64(row + 51, true)).toBe(BigInt(at));
  const end64 = 2 * row + 12;
  expect(view.getUint32(end64, true)).toBe(0x06064b50);
  expect(view.getBigUint64(end64 + 40, true)).toBe(BigInt(row * 2 + 12));
  expect(view.getBigUint64(end64 + 48, true)).toBe(BigInt(at + 30 + 1 + 20));
  expect(view.getUint32(end64 + 56, true)).toBe(0x07064b50);
  expect(view.getBigUint64(end64 + 64, true)).toBe(BigInt(at + 51 + end64));
  expect(view.getUint32(tail.length - 6, true)).toBe(0xffffffff);
  expect(() => localHeader({ name: 'c', size: 2 ** 32, crc: 0 })).toThrow(/larger than 4 GiB/);
});
