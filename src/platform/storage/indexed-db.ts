import { msg } from '@lit/localize';
import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction } from 'idb';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import type { Peaks } from '../../dsp/peaks.js';
import type {
  Keeping,
  KeptSong,
  KnownPrint,
  PendingEdit,
  SongSummary,
  StoragePort,
  StoredSong,
  StoredStep,
} from '../../app/kit/ports.js';
import { claimSong } from './claim.js';
import { missingSong, songExists, storageProblem } from './problem.js';
import { openRecordingFiles, type RecordingFiles } from './recordings.js';

/** The row of a song: small, rewritten with every edit. */
interface SongRow {
  readonly summary: SongSummary;
  readonly place: number;
  readonly pending?: PendingEdit;
  /** MIME type of the recording, which the file system does not keep. */
  readonly audioType?: string;
  /** Content of that recording; missing in rows of before there could be another beside it. */
  readonly first?: string;
  /** MIME types of recordings kept beside it, by their content. */
  readonly others?: Readonly<Record<string, string>>;
}

/** What the sound looks and sounds like: the outline, and since there are fingerprints that too, and whose they are. */
type SoundRow = Peaks & Pick<StoredSong, 'print' | 'soundOf'>;

type StepRow = Omit<StoredStep, 'evidence'>;

interface Schema extends DBSchema {
  songs: { key: string; value: SongRow };
  /** Keys are [song, index of the step]. */
  steps: { key: [string, number]; value: StepRow };
  /** Keys are [song, index of the step it came with], BASE for the first. */
  evidence: { key: [string, number]; value: Evidence };
  peaks: { key: string; value: SoundRow };
  audio: { key: string; value: Blob };
}

type Database = IDBPDatabase<Schema>;

export const DATABASE = 'barwright';
const VERSION = 1;
const BASE = -1;
/** Between the song's id and the content, in the name of a recording that is kept beside the first. */
const BESIDE = '.';
const STORES = ['songs', 'steps', 'evidence', 'peaks', 'audio'] as const;

/**
 * Keeps songs in IndexedDB and their recordings in the origin private file system, or also in IndexedDB where there
 * is none (`recordings` undefined).
 *
 * Each call is one transaction. A recording's file is written before the transaction that names it and removed after
 * the one that forgets it, so a crash can leave a file that no song names, never a song without its file; such files
 * are removed at the next start.
 *
 * Errors: StorageProblem.
 */
export async function indexedDbStorage(
  options: { name?: string; recordings?: RecordingFiles | 'browser' } = {},
): Promise<StoragePort> {
  const { name = DATABASE, recordings = 'browser' } = options;
  const files = recordings === 'browser' ? await openRecordingFiles() : recordings;
  const connection = new Connection(name);
  await removeStrayFiles(await connection.open(), files);
  return new DatabaseStorage(connection, files, name);
}

/** The open database; opened again by the next call after something outside the page has closed or deleted it. */
class Connection {
  private opening: Promise<Database> | undefined;
  private readonly listeners: (() => void)[] = [];

  constructor(private readonly name: string) {}

  open(): Promise<Database> {
    this.opening ??= this.connect().catch((error: unknown) => {
      this.opening = undefined;
      throw storageProblem(error, msg('open the library'));
    });
    return this.opening;
  }

  onLost(lost: () => void): void {
    this.listeners.push(lost);
  }

  private async connect(): Promise<Database> {
    const db = await openDB<Schema>(this.name, VERSION, {
      upgrade: (upgraded, oldVersion) => {
        if (oldVersion < 1) for (const store of STORES) upgraded.createObjectStore(store);
      },
      // Another page deletes the database, or a newer one wants to change its tables. Neither can while this one is open.
      blocking: () => {
        db.close();
        this.lose();
      },
      terminated: () => this.lose(),
    });
    return db;
  }

  private lose(): void {
    this.opening = undefined;
    for (const lost of this.listeners) lost();
  }
}

async function removeStrayFiles(db: Database, files: RecordingFiles | undefined): Promise<void> {
  if (!files) return;
  try {
    const known = new Set<string>(await db.getAllKeys('songs'));
    for (const file of await files.list()) {
      const [id = ''] = file.split(BESIDE);
      if (!known.has(id)) await files.remove(file);
    }
  } catch {
    // Tidying is no reason to keep the user from the library.
  }
}

class DatabaseStorage implements StoragePort {
  constructor(
    private readonly connection: Connection,
    private readonly files: RecordingFiles | undefined,
    private readonly name: string,
  ) {}

  async list(): Promise<readonly SongSummary[]> {
    return this.guard(msg('read the library'), async () => {
      const tx = (await this.connection.open()).transaction('songs');
      const [ids, rows] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll(), tx.done]);
      return rows.map((row, i) => summaryIn(row, ids[i] as string)).sort((a, b) => b.changed - a.changed);
    });
  }

  async create(song: Parameters<StoragePort['create']>[0], audio: Blob | undefined): Promise<void> {
    const { id } = song.summary;
    await this.guard(msg('keep the song'), async () => {
      if (await (await this.connection.open()).getKey('songs', id)) throw songExists(id);
      if (audio && this.files) await this.files.write(id, audio);
      try {
        await this.change(async (tx) => {
          if (await tx.objectStore('songs').getKey(id)) throw songExists(id);
          await putSong(tx, song, { audioType: audio?.type, first: song.summary.contentId });
          if (audio && !this.files) await tx.objectStore('audio').put(audio, id);
        });
      } catch (error) {
        await this.files?.remove(id);
        throw error;
      }
    });
  }

  async put(song: StoredSong): Promise<void> {
    const { id } = song.summary;
    await this.guard(msg('keep the song'), () =>
      this.change(async (tx) => {
        const { audioType, first = song.summary.contentId, others } = (await tx.objectStore('songs').get(id)) ?? {};
        await tx.objectStore('steps').delete(rangeFrom(id, 0));
        await tx.objectStore('evidence').delete(rangeFrom(id, BASE));
        await putSong(tx, song, { audioType, first, others });
      }),
    );
  }

  onLost(lost: () => void): void {
    this.connection.onLost(lost);
  }

  async open(id: string): Promise<KeptSong> {
    return this.guard(msg('open the song'), async () => {
      const tx = (await this.connection.open()).transaction(STORES);
      const row = await tx.objectStore('songs').get(id);
      const [steps, evidences, evidenceKeys, peaks] = await Promise.all([
        tx.objectStore('steps').getAll(rangeFrom(id, 0)),
        tx.objectStore('evidence').getAll(rangeFrom(id, BASE)),
        tx.objectStore('evidence').getAllKeys(rangeFrom(id, BASE)),
        tx.objectStore('peaks').get(id),
        tx.done,
      ]);
      if (!row) throw missingSong(id);
      const evidenceAt = new Map(evidenceKeys.map(([, index], i) => [index, evidences[i]]));
      const evidence = evidenceAt.get(BASE);
      return {
        summary: summaryIn(row, id),
        place: row.place,
        pending: row.pending,
        ...(evidence ? { evidence } : {}),
        ...(peaks ? { peaks: { rate: peaks.rate, data: peaks.data } } : {}),
        ...(peaks?.print ? { print: peaks.print } : {}),
        ...(peaks?.soundOf === undefined ? {} : { soundOf: peaks.soundOf }),
        steps: steps.map((step) => {
          const own = evidenceAt.get(step.index);
          return own ? { ...step, evidence: own } : step;
        }),
      };
    });
  }

  async audio(id: string, contentId?: string): Promise<Blob | undefined> {
    return this.guard(msg('read the recording'), async () => {
      const row = await this.row(id);
      const beside = contentId === undefined ? undefined : row.others?.[contentId];
      const isFirst = contentId === undefined || row.first === undefined || row.first === contentId;
      if (beside === undefined && !isFirst) return undefined;
      const key = beside === undefined || contentId === undefined ? id : besideKey(id, contentId);
      const file = await this.files?.read(key, beside ?? row.audioType ?? '');
      return file ?? (await (await this.connection.open()).get('audio', key));
    });
  }

  async setAudio(id: string, audio: Blob, peaks?: Peaks, contentId?: string): Promise<void> {
    await this.guard(msg('keep the recording'), async () => {
      const { first } = await this.row(id);
      const isBeside = contentId !== undefined && contentId !== first;
      const key = isBeside ? besideKey(id, contentId) : id;
      if (this.files) await this.files.write(key, audio);
      await this.change(async (tx) => {
        const row = await rowOf(tx, id);
        const kept = isBeside ? { others: { ...row.others, [contentId]: audio.type } } : { audioType: audio.type };
        await tx.objectStore('songs').put({ ...row, ...kept, summary: { ...row.summary, hasAudio: true } }, id);
        if (!this.files) await tx.objectStore('audio').put(audio, key);
        if (peaks) await tx.objectStore('peaks').put({ ...(await tx.objectStore('peaks').get(id)), ...peaks }, id);
      });
    });
  }

  async setSound(id: string, sound: Parameters<StoragePort['setSound']>[1]): Promise<void> {
    await this.guard(msg('keep the outline'), () =>
      this.change(async (tx) => {
        await rowOf(tx, id);
        await tx.objectStore('peaks').put(soundRow(sound), id);
      }),
    );
  }

  async prints(): Promise<readonly KnownPrint[]> {
    return this.guard(msg('read the library'), async () => {
      const tx = (await this.connection.open()).transaction('peaks');
      const [ids, sounds] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll(), tx.done]);
      return sounds.flatMap(({ print }, i) => (print ? [{ id: ids[i] as string, print }] : []));
    });
  }

  async setPending(id: string, pending: PendingEdit | undefined): Promise<void> {
    await this.guard(msg('keep the edit'), () =>
      this.change(async (tx) => {
        await tx.objectStore('songs').put({ ...(await rowOf(tx, id)), pending }, id);
      }),
    );
  }

  async append(id: string, step: StoredStep, summary: SongSummary): Promise<void> {
    await this.guard(msg('keep the edit'), () =>
      this.change(async (tx) => {
        const row = await rowOf(tx, id);
        await tx.objectStore('steps').delete(rangeFrom(id, step.index));
        await tx.objectStore('evidence').delete(rangeFrom(id, step.index));
        await putStep(tx, id, step);
        await tx.objectStore('songs').put({ ...row, summary, place: step.index, pending: undefined }, id);
      }),
    );
  }

  async setPlace(id: string, place: number, summary: SongSummary): Promise<void> {
    await this.guard(msg('keep the undo'), () =>
      this.change(async (tx) => {
        await tx.objectStore('songs').put({ ...(await rowOf(tx, id)), summary, place }, id);
      }),
    );
  }

  async remove(id: string): Promise<void> {
    await this.guard(msg('delete the song'), async () => {
      const row = await (await this.connection.open()).get('songs', id);
      const beside = Object.keys(row?.others ?? {}).map((contentId) => besideKey(id, contentId));
      await this.change(async (tx) => {
        await Promise.all([
          tx.objectStore('songs').delete(id),
          tx.objectStore('steps').delete(rangeFrom(id, 0)),
          tx.objectStore('evidence').delete(rangeFrom(id, BASE)),
          tx.objectStore('peaks').delete(id),
          tx.objectStore('audio').delete(id),
          ...beside.map((key) => tx.objectStore('audio').delete(key)),
        ]);
      });
      for (const key of [id, ...beside]) await this.files?.remove(key);
    });
  }

  async keeping(ask: boolean): Promise<Keeping> {
    const storage = globalThis.navigator?.storage;
    if (typeof storage?.persist !== 'function') return 'may be cleared';
    const kept = await (ask ? storage.persist() : storage.persisted()).catch(() => false);
    return kept ? 'kept' : 'may be cleared';
  }

  claim(id: string): Promise<(() => void) | undefined> {
    return claimSong(`${this.name}/${id}`);
  }

  private async row(id: string): Promise<SongRow> {
    const row = await (await this.connection.open()).get('songs', id);
    if (!row) throw missingSong(id);
    return row;
  }

  /** One transaction over all tables: everything `work` does, or nothing. */
  private async change(work: (tx: Transaction) => Promise<void>): Promise<void> {
    const tx = (await this.connection.open()).transaction(STORES, 'readwrite');
    // Settled either way before the reason is told; a rejection nobody awaits would be an uncaught one.
    const done = tx.done.then(
      () => undefined,
      (error: unknown) => error ?? new DOMException(msg('the transaction was called off'), 'AbortError'),
    );
    try {
      await work(tx);
    } catch (error) {
      try {
        tx.abort();
      } catch {
        // Already called off by the failed request.
      }
      await done;
      throw error;
    }
    const failure = await done;
    if (failure) throw failure;
  }

  private async guard<T>(what: string, work: () => Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      throw storageProblem(error, what);
    }
  }
}

type Transaction = IDBPTransaction<Schema, typeof STORES, 'readwrite'>;

async function rowOf(tx: Transaction, id: string): Promise<SongRow> {
  const row = await tx.objectStore('songs').get(id);
  if (!row) throw missingSong(id);
  return row;
}

/** Writes all of a song but the files of its recording. */
async function putSong(tx: Transaction, song: StoredSong, files: Omit<SongRow, 'summary' | 'place'>): Promise<void> {
  const { summary, place, pending } = song;
  await tx.objectStore('songs').put({ ...files, summary, place, pending }, summary.id);
  await tx.objectStore('evidence').put(song.evidence, [summary.id, BASE]);
  await tx.objectStore('peaks').put(soundRow(song), summary.id);
  for (const step of song.steps) await putStep(tx, summary.id, step);
}

/** What the list shows of a song, also where its row is damaged: it can then still be opened as far as it goes, or deleted. */
function summaryIn(row: Partial<SongRow> | undefined, id: string): SongSummary {
  const { title, duration, changed, hasAudio, contentId } = (row?.summary ?? {}) as Partial<Record<string, unknown>>;
  return {
    id,
    title: typeof title === 'string' ? title : msg('A damaged song'),
    duration: typeof duration === 'number' && duration >= 0 ? duration : 0,
    changed: typeof changed === 'number' && Number.isFinite(changed) ? changed : 0,
    hasAudio: hasAudio === true,
    contentId: typeof contentId === 'string' ? contentId : '',
  };
}

async function putStep(tx: Transaction, id: string, step: StoredStep): Promise<void> {
  const { evidence, ...row } = step;
  await tx.objectStore('steps').put(row, [id, step.index]);
  if (evidence) await tx.objectStore('evidence').put(evidence, [id, step.index]);
}

function soundRow({ peaks, print, soundOf }: Pick<StoredSong, 'peaks' | 'print' | 'soundOf'>): SoundRow {
  return { ...peaks, ...(print ? { print } : {}), ...(soundOf === undefined ? {} : { soundOf }) };
}

/** Where a recording beside the first is kept. */
function besideKey(id: string, contentId: string): string {
  return `${id}${BESIDE}${contentId}`;
}

/** The song's keys from `index` on. */
function rangeFrom(id: string, index: number): IDBKeyRange {
  return IDBKeyRange.bound([id, index], [id, Infinity]);
}
