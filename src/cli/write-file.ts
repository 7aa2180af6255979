import { randomBytes } from 'node:crypto';
import { rmSync } from 'node:fs';
import { mkdir, open, realpath, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';

/** What is written: whole, or in pieces. */
type Data = string | Uint8Array | Iterable<Uint8Array>;

/** Files under way, to be removed when the run is broken off. */
const unfinished = new Set<string>();
const SIGNALS = { SIGINT: 130, SIGTERM: 143, SIGHUP: 129 } as const;

/**
 * Writes a file so that at any moment either the old one or the new one is there whole: beside it, under another name, and
 * renamed when all is on the disk. Folders that are missing are made. Throws what the file system says, with `path`.
 */
export async function writeWhole(path: string, data: Data): Promise<void> {
  try {
    await mkdir(dirname(path), { recursive: true });
    // A link goes on leading to its file.
    const target = await realpath(path).catch(() => path);
    const old = await stat(target).catch(() => undefined);
    // Nothing can stand beside a pipe or a device.
    if (old && !old.isFile()) await writeFile(target, data);
    else await replace(target, data, old?.mode);
  } catch (error) {
    if (error instanceof Error && 'path' in error && error.path !== dirname(path)) error.path = path;
    throw error;
  }
}

async function replace(target: string, data: Data, mode: number | undefined): Promise<void> {
  const beside = join(dirname(target), `.${basename(target).slice(0, 80)}.${randomBytes(6).toString('hex')}.tmp`);
  begin(beside);
  try {
    const file = await open(beside, 'wx', mode === undefined ? 0o666 : mode & 0o777);
    try {
      await writeFile(file, data);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(beside, target);
  } catch (error) {
    await rm(beside, { force: true });
    throw error;
  } finally {
    end(beside);
  }
}

function begin(path: string): void {
  if (unfinished.size === 0) for (const signal of signals()) process.on(signal, breakOff);
  unfinished.add(path);
}

function end(path: string): void {
  unfinished.delete(path);
  if (unfinished.size === 0) for (const signal of signals()) process.off(signal, breakOff);
}

function signals(): (keyof typeof SIGNALS)[] {
  return Object.keys(SIGNALS) as (keyof typeof SIGNALS)[];
}

function breakOff(signal: NodeJS.Signals): void {
  for (const path of unfinished) rmSync(path, { force: true });
  process.exit(SIGNALS[signal as keyof typeof SIGNALS]);
}
