import { msg, str } from '@lit/localize';
import { computed, type ReadonlySignal } from '@preact/signals-core';
import { currentMap, restoreHistory } from '../../model/history.js';
import {
  BACKUP_ENDING,
  BACKUP_FORMAT,
  BACKUP_VERSION,
  LIST_FILE,
  looksLikeBackup,
  readBackupList,
  type BackupList,
  type BackupSong,
} from '../../project/backup.js';
import { crc32 } from '../../project/crc32.js';
import { PROJECT_ENDING } from '../../project/project.js';
import { MOST_JSON } from '../../project/read-json.js';
import { directory, localHeader, readLocalHeader, type StoredEntry } from '../../project/stored-zip.js';
import { askToKeep, textOf, type Core } from '../song/core.js';
import { fileNameFor } from '../kit/file-name.js';
import { packSong, songNow, unpackSong } from './hand-over.js';
import type { Library } from './library-state.js';
import { isFull } from './loading.js';
import type { SongSummary } from '../kit/ports.js';
import { counted, sentence } from '../kit/sentences.js';
import type { Tasks, TaskHandle } from '../song/tasks.js';

/** All songs as one file, and back. */
export interface Backup {
  /** Hands the user a file with all songs and their recordings; a song that cannot be read is named and left out. */
  save(): Promise<void>;
  /** Adds the songs of such a file to the library; nothing there is overwritten, and what is there already is not doubled. */
  restore(file: Blob, name: string): Promise<void>;
  /** Songs changed since the last backup. */
  readonly missing: ReadonlySignal<readonly SongSummary[]>;
}

/** Longest header of an entry that is looked for, in bytes. */
const HEAD = 2048;

/** What was done with the songs of a backup, by title. */
interface Restored {
  readonly added: string[];
  readonly beside: string[];
  readonly here: string[];
  readonly failed: string[];
}

export function createBackup(core: Core, library: Library, tasks: Tasks): Backup {
  const { storage, files } = core.ports;

  const save = async (task: TaskHandle): Promise<void> => {
    await core.desk.peek()?.idle();
    const made = core.stamp();
    const kept = await storage.list();
    if (kept.length === 0) {
      core.say({ kind: 'info', text: msg('There is no song to back up yet.') });
      return;
    }
    const songs = kept.map(({ id, title, changed }, i): BackupSong => {
      const file = `${String(i + 1).padStart(4, '0')} ${fileNameFor({ title }, PROJECT_ENDING)}`;
      return { file, id, title, changed };
    });
    const list: BackupList = { format: BACKUP_FORMAT, version: BACKUP_VERSION, made, songs };
    const archive = new Archive();
    archive.add(LIST_FILE, [new TextEncoder().encode(JSON.stringify(list))]);
    const left: string[] = [];
    for (const [i, { id, title, file }] of songs.entries()) {
      task.show({ text: msg(str`Backing up "${title}"`), done: i / songs.length });
      try {
        const song = await songNow(core, id);
        const { contentId } = currentMap(restoreHistory(song.steps, song.place)).recording;
        archive.add(file, await packSong(song, await storage.audio(id, contentId)));
      } catch (error) {
        left.push(`"${title}" (${textOf(error).replace(/\.$/, '')})`);
      }
      task.signal.throwIfAborted();
    }
    const day = new Date(made).toISOString().slice(0, 10);
    const name = `${msg(str`Songs ${day}`)}${BACKUP_ENDING}`;
    files.save(name, archive.end());
    if (left.length === 0) core.settings.value = { ...core.settings.peek(), lastBackup: made };
    const saved = counted(songs.length - left.length, msg('song'), msg('songs'));
    const all = msg(str`${saved} saved as "${name}", with the recordings that are kept here.`);
    if (left.length === 0) core.say({ kind: 'info', text: all });
    else core.say({ kind: 'error', text: `${all} ${msg(str`Left out: ${left.join('; ')}.`)}` });
  };

  const restoreSong = async (
    file: Blob,
    song: BackupSong,
    known: ReadonlyMap<string, number>,
    done: Restored,
  ): Promise<string | undefined> => {
    const other = known.get(song.id);
    const id = other === undefined ? song.id : `${song.id}-${song.changed.toString(36)}`;
    if (other === song.changed || known.has(id)) {
      done.here.push(song.title);
      return undefined;
    }
    const { stored, audio, lost } = await unpackSong(file, song.changed);
    await storage.create({ ...stored, summary: { ...stored.summary, id } }, audio);
    (other === undefined ? done.added : done.beside).push(song.title);
    if (lost.length > 0) done.failed.push(msg(str`"${song.title}" without ${lost.join(', ')}`));
    return id;
  };

  const restore = async (file: Blob, name: string, task: TaskHandle): Promise<void> => {
    const archive = new ArchiveReader(file);
    const first = await archive.next();
    const isList = first?.name === LIST_FILE && first.file.size <= MOST_JSON;
    const list = readBackupList(isList ? await first.file.text() : '');
    const waiting = new Map(list.songs.map((song) => [song.file, song]));
    const known = new Map((await storage.list()).map(({ id, changed }) => [id, changed]));
    const done: Restored = { added: [], beside: [], here: [], failed: [] };
    let stopped: string | undefined;
    for (let entry = await archive.next(); entry && !stopped; entry = await archive.next()) {
      const song = waiting.get(entry.name);
      if (!song) continue;
      waiting.delete(entry.name);
      task.show({ text: msg(str`Restoring "${song.title}"`), done: archive.share });
      try {
        const id = await restoreSong(entry.file, song, known, done);
        if (id) known.set(id, song.changed);
      } catch (error) {
        if (isFull(error)) {
          stopped = msg('There is no room for more: free space and restore again, what is here already is not doubled');
          waiting.set(entry.name, song);
        } else done.failed.push(`"${song.title}" (${textOf(error).replace(/\.$/, '')})`);
      }
      await library.refresh();
      task.signal.throwIfAborted();
    }
    const rest = [...waiting.values()].map(({ title }) => `"${title}"`);
    if (!stopped && rest.length > 0) stopped = msg(str`"${name}" breaks off before its end: look for another copy`);
    askToKeep(core);
    const bad = stopped !== undefined || done.failed.length > 0;
    core.say({ kind: bad ? 'error' : 'info', text: restoredSentence(done, rest, stopped) });
  };

  return {
    save: async () => void (await tasks.run(msg('Backing up all songs'), save)),
    restore: async (file, name) => {
      await tasks.run(msg(str`Restoring "${name}"`), (task) => restore(file, name, task));
    },
    missing: computed(() => {
      const { lastBackup = 0 } = core.settings.value;
      return core.songs.value.filter(({ changed }) => changed > lastBackup);
    }),
  };
}

/** True when the file is a backup of all songs, whatever it is called. */
export async function isBackup(file: Blob): Promise<boolean> {
  return looksLikeBackup(new Uint8Array(await file.slice(0, 64).arrayBuffer()));
}

function restoredSentence(
  { added, beside, here, failed }: Restored,
  rest: readonly string[],
  stopped?: string,
): string {
  const songs = (some: readonly string[]): string => counted(some.length, msg('song'), msg('songs'));
  const parts = [msg(str`${songs([...added, ...beside])} restored`)];
  if (beside.length > 0) {
    parts.push(msg(str`${songs(beside)} of them beside another state of the same song, which stays as it is`));
  }
  if (here.length > 0)
    parts.push(here.length === 1 ? msg('1 song was here already') : msg(str`${here.length} songs were here already`));
  if (failed.length > 0) parts.push(msg(str`not whole: ${failed.join('; ')}`));
  if (rest.length > 0) parts.push(msg(str`not restored: ${rest.join(', ')}`));
  if (stopped !== undefined) parts.push(stopped);
  return `${parts.map(sentence).join('. ')}.`;
}

/** A ZIP archive of stored entries that grows by blobs, which the browser may keep on disk. */
class Archive {
  private readonly pieces: Blob[] = [];
  private readonly entries: (StoredEntry & { at: number })[] = [];
  private at = 0;

  add(name: string, parts: readonly Uint8Array<ArrayBuffer>[]): void {
    const size = parts.reduce((sum, part) => sum + part.length, 0);
    const entry = { name, size, crc: crc32(...parts), at: this.at };
    const header = localHeader(entry);
    this.pieces.push(new Blob([header, ...parts]));
    this.entries.push(entry);
    this.at += header.length + size;
  }

  end(): Blob {
    return new Blob([...this.pieces, directory(this.entries)], { type: 'application/octet-stream' });
  }
}

/** Reads such an archive from the front, its entries left in the file; ends where it ends or breaks off. */
class ArchiveReader {
  private at = 0;

  constructor(private readonly file: Blob) {}

  get share(): number {
    return this.at / this.file.size;
  }

  async next(): Promise<{ name: string; file: Blob } | undefined> {
    const head = new Uint8Array(await this.file.slice(this.at, this.at + HEAD).arrayBuffer());
    const entry = readLocalHeader(head);
    if (!entry) return undefined;
    const from = this.at + entry.header;
    this.at = from + entry.size;
    if (this.at > this.file.size) return undefined;
    return { name: entry.name, file: this.file.slice(from, this.at) };
  }
}
