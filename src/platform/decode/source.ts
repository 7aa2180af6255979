/** The bytes of a file, read piece by piece. */
export interface ByteSource {
  readonly size: number;
  /** Bytes from `start` up to, not with, `end`; fewer only where the file ends before. The array is the caller's. */
  read(start: number, end: number): Promise<Uint8Array>;
}

export function blobSource(blob: Blob): ByteSource {
  return {
    size: blob.size,
    read: async (start, end) => new Uint8Array(await blob.slice(start, Math.max(start, end)).arrayBuffer()),
  };
}

export function bytesSource(bytes: Uint8Array): ByteSource {
  return { size: bytes.length, read: (start, end) => Promise.resolve(bytes.slice(start, Math.max(start, end))) };
}

/** All bytes from `start` to `end` in pieces of `step`. */
export async function* pieces(
  source: ByteSource,
  start: number,
  end: number,
  step: number,
): AsyncGenerator<Uint8Array> {
  for (let at = start; at < end; at += step) {
    const piece = await source.read(at, Math.min(end, at + step));
    if (piece.length === 0) return;
    yield piece;
  }
}

export function ascii(bytes: Uint8Array, at: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + length));
}

export function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
