import { Unzip, UnzipInflate } from 'fflate';
import { MOST_ENTRIES, MOST_UNPACKED, repeatedName, type Archive, type EntryLimits } from './archive.js';
import { joined } from './stored-zip.js';

/** Bytes of the archive read at a time: at most 1032 times as many come out. */
const PIECE = 2 ** 13;

/**
 * What can be read of an archive without a directory, because it is cut off or broken there: entry by entry from its
 * front until one is not whole. Throws ProjectProblem for two entries of one name.
 */
export function entriesFromFront(file: Uint8Array, limits: EntryLimits): Archive {
  const entries = new Map<string, Uint8Array>();
  const begun = new Set<string>();
  let produced = 0;
  let repeated: string | undefined;
  const unzip = new Unzip((entry) => {
    const { name } = entry;
    if (begun.has(name)) repeated ??= name;
    begun.add(name);
    const chunks: Uint8Array[] = [];
    let size = 0;
    entry.ondata = (error, chunk, final) => {
      size += chunk?.length ?? 0;
      produced += chunk?.length ?? 0;
      if (error || size > limits.most(name)) {
        chunks.length = 0;
        return entry.terminate();
      }
      chunks.push(chunk);
      if (final) entries.set(name, joined(chunks.splice(0)));
    };
    entry.start();
  });
  unzip.register(UnzipInflate);
  const mayGoOn = (): boolean => produced <= MOST_UNPACKED && begun.size <= MOST_ENTRIES && repeated === undefined;
  try {
    for (let at = 0; at < file.length && mayGoOn(); at += PIECE)
      unzip.push(file.subarray(at, at + PIECE), at + PIECE >= file.length);
  } catch {
    // What was whole before is what there is.
  }
  if (repeated !== undefined) throw repeatedName(repeated);
  return {
    whole: false,
    get produced() {
      return produced;
    },
    take: (name) => {
      const bytes = entries.get(name);
      entries.delete(name);
      return bytes;
    },
  };
}
