let table: Uint32Array | undefined;

/** CRC-32 as in ZIP and gzip (polynomial 0xEDB88320, reflected), of all parts as one: 0 to 2^32 - 1. */
export function crc32(...parts: readonly Uint8Array[]): number {
  const known = (table ??= makeTable());
  let crc = 0xffffffff;
  for (const bytes of parts) {
    for (const byte of bytes) crc = (known[(crc ^ byte) & 0xff] ?? 0) ^ (crc >>> 8);
  }
  return (crc ^ 0xffffffff) >>> 0;
}

function makeTable(): Uint32Array {
  return Uint32Array.from({ length: 256 }, (_, n) => {
    let value = n;
    for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
    return value;
  });
}
