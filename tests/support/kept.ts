import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { deserialize, serialize } from 'node:v8';

const FOLDER = join('.cache', 'kept');
const inMemory = new Map<string, Promise<unknown>>();

/**
 * What `make` gives, made once and kept on disk under .cache/kept until `key` changes; several test files that want it
 * at once wait for the one that makes it. `key`: all that the result depends on. The result is plain data and typed arrays.
 */
export function kept<T>(name: string, key: readonly (string | Uint8Array)[], make: () => Promise<T>): Promise<T> {
  const hash = createHash('sha256');
  for (const part of key) hash.update(part).update('\0');
  const stem = `${name}-`;
  const file = join(FOLDER, `${stem}${hash.digest('hex').slice(0, 16)}`);
  const before = inMemory.get(file);
  if (before) return before as Promise<T>;
  const found = readOrMake(stem, file, make);
  inMemory.set(file, found);
  return found;
}

async function readOrMake<T>(stem: string, file: string, make: () => Promise<T>): Promise<T> {
  mkdirSync(FOLDER, { recursive: true });
  const lock = `${file}.making`;
  for (;;) {
    if (existsSync(file)) return deserialize(readFileSync(file)) as T;
    if (take(lock)) break;
    await wait(100);
  }
  try {
    const made = await make();
    for (const old of readdirSync(FOLDER)) {
      if (old.startsWith(stem) && /^[0-9a-f]{16}$/.test(old.slice(stem.length))) rmSync(join(FOLDER, old));
    }
    writeFileSync(`${file}.new`, serialize(made));
    renameSync(`${file}.new`, file);
    return made;
  } finally {
    rmSync(lock, { force: true });
  }
}

/** Takes the lock file; one left by a process that is gone counts for nothing. */
function take(lock: string): boolean {
  try {
    writeFileSync(lock, String(process.pid), { flag: 'wx' });
    return true;
  } catch {
    if (!isRunning(lock)) rmSync(lock, { force: true });
    return false;
  }
}

function isRunning(lock: string): boolean {
  try {
    const pid = Number(readFileSync(lock, 'utf8'));
    // Just made, and not yet written: someone is at it.
    if (pid === 0) return true;
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** The contents of all sources and weights under some folders, as one key: it changes when any of them does. */
export function sourceKey(folders: readonly string[]): string {
  const hash = createHash('sha256');
  for (const folder of folders) {
    const files = readdirSync(folder, { withFileTypes: true, recursive: true })
      .filter((entry) => entry.isFile() && /\.(ts|onnx)$/.test(entry.name))
      .map((entry) => join(entry.parentPath, entry.name))
      .sort();
    for (const file of files) hash.update(file).update('\0').update(readFileSync(file)).update('\0');
  }
  return hash.digest('hex');
}
