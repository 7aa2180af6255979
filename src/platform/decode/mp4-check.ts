import { msg } from '@lit/localize';
import { RecordingProblem } from './problem.js';
import { ascii, viewOf, type ByteSource } from './source.js';

const PATH = ['trak', 'mdia', 'minf', 'stbl'];
/** The index of a long film takes a few megabytes. */
const LARGEST_INDEX = 1 << 26;

/**
 * Refuses an MP4 index that puts more samples in a chunk than there are (ISO/IEC 14496-12, 8.7.3 and 8.7.4). The
 * demuxer counts through a chunk for each sample of it, and would count for hours. What else is wrong it finds itself.
 */
export async function checkIndex(source: ByteSource): Promise<void> {
  for (let at = 0, n = 0; at + 8 <= source.size && n < 10_000; n++) {
    const head = await source.read(at, at + 16);
    const box = boxAt(head, 0, source.size - at);
    if (!box) return;
    if (box.type === 'moov' && box.size <= LARGEST_INDEX) {
      const index = await source.read(at + box.header, at + box.size);
      checkTables(index, 0);
    }
    at += box.size;
  }
}

function checkTables(bytes: Uint8Array, depth: number): void {
  if (depth === PATH.length) {
    const sizes = find(bytes, 'stsz') ?? find(bytes, 'stz2');
    const chunks = find(bytes, 'stsc');
    if (!sizes || sizes.length < 12 || !chunks || chunks.length < 8) return;
    const samples = viewOf(sizes).getUint32(8);
    const view = viewOf(chunks);
    for (let i = 0, at = 8; i < view.getUint32(4) && at + 12 <= chunks.length; i++, at += 12)
      if (view.getUint32(at + 4) > samples)
        throw new RecordingProblem(
          'broken',
          msg('The index of this file is damaged. Copy, download or export it again.'),
        );
    return;
  }
  for (const child of children(bytes)) if (child.type === PATH[depth]) checkTables(child.content, depth + 1);
}

function find(bytes: Uint8Array, type: string): Uint8Array | undefined {
  for (const child of children(bytes)) if (child.type === type) return child.content;
  return undefined;
}

function* children(bytes: Uint8Array): Generator<{ type: string; content: Uint8Array }> {
  for (let at = 0; at + 8 <= bytes.length;) {
    const box = boxAt(bytes, at, bytes.length - at);
    if (!box) return;
    yield { type: box.type, content: bytes.subarray(at + box.header, at + box.size) };
    at += box.size;
  }
}

/** Type and length of the box at `at`; `room`: bytes up to the end of what holds it. Undefined where none can be. */
function boxAt(
  bytes: Uint8Array,
  at: number,
  room: number,
): { type: string; header: number; size: number } | undefined {
  if (at + 8 > bytes.length) return undefined;
  const view = viewOf(bytes);
  const short = view.getUint32(at);
  const long = short === 1;
  if (long && at + 16 > bytes.length) return undefined;
  const size = short === 0 ? room : long ? Number(view.getBigUint64(at + 8)) : short;
  const header = long ? 16 : 8;
  return size < header ? undefined : { type: ascii(bytes, at + 4, 4), header, size };
}
