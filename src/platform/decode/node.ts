import { msg } from '@lit/localize';
import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';
import { basename } from 'node:path';
import { decodeSound, type FreshlyDecoded } from './decode-sound.js';
import { RecordingProblem } from './problem.js';
import type { ByteSource } from './source.js';

/**
 * Decodes a file for the command line. Throws RecordingProblem for what cannot be used; errors of the file system
 * (ENOENT, EACCES) come as Node gives them. `report`: 0 to 1.
 */
export async function decodeFile(
  path: string,
  options: { signal?: AbortSignal; report?: (done: number) => void } = {},
): Promise<FreshlyDecoded> {
  return withFile(path, async (source) => {
    const hash = createHash('sha256');
    const hasher = { update: (bytes: Uint8Array) => void hash.update(bytes), hex: () => hash.digest('hex') };
    return decodeSound(source, basename(path), { ...options, hasher });
  });
}

/** Opens a file, to be read piece by piece while `work` runs. Throws RecordingProblem for a folder or a device. */
export async function withFile<T>(path: string, work: (file: ByteSource) => Promise<T>): Promise<T> {
  const file = await open(path);
  try {
    const stat = await file.stat();
    if (!stat.isFile())
      throw new RecordingProblem('not-audio', msg('This is not a file but a folder or device. Name a recording.'));
    return await work({
      size: stat.size,
      read: async (start, end) => {
        const buffer = new Uint8Array(Math.max(0, Math.min(end, stat.size) - start));
        let filled = 0;
        while (filled < buffer.length) {
          const { bytesRead } = await file.read(buffer, filled, buffer.length - filled, start + filled);
          if (bytesRead === 0) break;
          filled += bytesRead;
        }
        return filled === buffer.length ? buffer : buffer.subarray(0, filled);
      },
    });
  } finally {
    await file.close();
  }
}
