import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, describe, expect, it } from 'vitest';
import type { StoragePort, StoredStep } from '../../../src/app/kit/ports.js';
import { indexedDbStorage } from '../../../src/platform/storage/indexed-db.js';
import { memoryShelf, memoryStorage } from '../../../src/platform/storage/memory.js';
import { recordingFiles } from '../../../src/platform/storage/recordings.js';
import { RecordingFolder } from '../../support/recording-folder.js';
import { flatEvidence, mapOfBars, storedSong, summaryOf } from '../../support/songs.js';

/** Each kind: a fresh library, and what a reload of the page makes of it. */
const KINDS: readonly { name: string; fresh: () => () => Promise<StoragePort> }[] = [
  {
    name: 'memory',
    fresh: () => {
      const shelf = memoryShelf();
      return async () => memoryStorage(shelf);
    },
  },
  {
    name: 'IndexedDB alone',
    fresh: () => {
      globalThis.indexedDB = new IDBFactory();
      return () => indexedDbStorage({ recordings: undefined });
    },
  },
  {
    name: 'IndexedDB with recordings in files',
    fresh: () => {
      globalThis.indexedDB = new IDBFactory();
      const folder = new RecordingFolder();
      return () => indexedDbStorage({ recordings: recordingFiles(folder.asHandle()) });
    },
  },
];

const sound = () => new Blob([new Uint8Array([1, 2, 3, 250])], { type: 'audio/flac' });
const step = (index: number, label = `edit ${index}`): StoredStep => ({
  index,
  label,
  patch: [{ op: 'replace', path: '/title', value: label }],
});

describe.each(KINDS)('storage: $name', ({ fresh }) => {
  let reload: () => Promise<StoragePort>;
  let storage: StoragePort;
  beforeEach(async () => {
    reload = fresh();
    storage = await reload();
  });

  it('gives a song back as it was put, after a reload too', async () => {
    const song = storedSong('a');
    await storage.create(song, undefined);
    expect(await storage.open('a')).toEqual(song);
    expect(await (await reload()).open('a')).toEqual(song);
  });

  it('shares no array with whoever put the song', async () => {
    const song = storedSong('a');
    await storage.create(song, undefined);
    song.peaks.data[0] = 99;
    expect((await storage.open('a')).peaks?.data[0]).toBe(0);
  });

  it('gives the recording back byte for byte with its type', async () => {
    await storage.create(storedSong('a'), sound());
    const audio = await (await reload()).audio('a');
    expect(audio?.type).toBe('audio/flac');
    expect(new Uint8Array(await audio!.arrayBuffer())).toEqual(new Uint8Array([1, 2, 3, 250]));
  });

  it('keeps a recording of other content beside the first, gives back either, and forgets both with the song', async () => {
    const song = storedSong('a');
    await storage.create(song, sound());
    await storage.setAudio('a', new Blob(['other file'], { type: 'audio/mpeg' }), undefined, 'beef');
    const again = await reload();
    expect((await again.audio('a', 'beef'))?.type).toBe('audio/mpeg');
    expect(await (await again.audio('a', 'beef'))?.text()).toBe('other file');
    expect((await again.audio('a', song.summary.contentId))?.size).toBe(4);
    expect((await again.audio('a'))?.size).toBe(4);
    expect(await again.audio('a', 'f00d')).toBeUndefined();
    await again.remove('a');
    await again.create(song, undefined);
    expect(await again.audio('a', 'beef')).toBeUndefined();
  });

  it('keeps the fingerprint and whose sound is shown, and lists the fingerprints of all songs', async () => {
    const print = { duration: 3, words: Uint32Array.of(1, 4294967295) };
    await storage.create(storedSong('a'), undefined);
    await storage.create({ ...storedSong('b'), print }, undefined);
    expect((await (await reload()).open('b')).print).toEqual(print);
    const { peaks } = storedSong('a');
    await storage.setSound('a', { peaks, print, soundOf: 'beef' });
    expect(await (await reload()).open('a')).toMatchObject({ print, soundOf: 'beef', peaks });
    const known = await (await reload()).prints();
    expect(known.map(({ id }) => id).sort()).toEqual(['a', 'b']);
    expect(known[0]?.print).toEqual(print);
  });

  it('has no recording for a song that came without one, and takes it later', async () => {
    await storage.create(storedSong('a'), undefined);
    expect(await storage.audio('a')).toBeUndefined();
    await storage.setAudio('a', sound());
    expect((await storage.audio('a'))?.size).toBe(4);
    expect((await storage.list())[0]?.hasAudio).toBe(true);
    await storage.setAudio('a', sound(), { rate: 200, data: new Int8Array([1, 2]) });
    expect((await storage.open('a')).peaks).toEqual({ rate: 200, data: new Int8Array([1, 2]) });
  });

  it('lists the songs, the last changed first', async () => {
    await storage.create(storedSong('old', undefined, 10), undefined);
    await storage.create(storedSong('new', undefined, 30), undefined);
    await storage.create(storedSong('mid', undefined, 20), undefined);
    expect((await storage.list()).map((song) => song.id)).toEqual(['new', 'mid', 'old']);
  });

  it('appends steps in order and shows the last', async () => {
    const map = mapOfBars([4, 4, 2, 4]);
    await storage.create(storedSong('a', map), undefined);
    for (let i = 1; i <= 12; i += 1) await storage.append('a', step(i), summaryOf('a', { ...map, title: `t${i}` }, i));
    const song = await (await reload()).open('a');
    expect(song.steps.map(({ index }) => index)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
    expect(song.place).toBe(12);
    expect(song.summary.title).toBe('t12');
    expect((await storage.list())[0]?.title).toBe('t12');
  });

  it('drops the steps after an undo once another edit is made', async () => {
    const { summary } = storedSong('a');
    await storage.create(storedSong('a'), undefined);
    for (let i = 1; i <= 4; i += 1) await storage.append('a', step(i), summary);
    await storage.setPlace('a', 2, summary);
    expect((await storage.open('a')).steps).toHaveLength(5);
    await storage.append('a', step(3, 'another'), summary);
    const song = await storage.open('a');
    expect(song.steps.map(({ label }) => label)).toEqual(['', 'edit 1', 'edit 2', 'another']);
    expect(song.place).toBe(3);
  });

  it('keeps an edit that is not solved yet beside the steps, until its step comes or it is taken back', async () => {
    const { summary } = storedSong('a');
    await storage.create(storedSong('a'), undefined);
    await storage.append('a', step(1), summary);
    await storage.setPlace('a', 0, summary);
    await storage.setPending('a', { label: 'bar 3: 4 beats', patch: [] });
    const between = await (await reload()).open('a');
    expect(between.pending).toEqual({ label: 'bar 3: 4 beats', patch: [] });
    expect(between.place).toBe(0);
    expect(between.steps).toHaveLength(2);
    await storage.setPending('a', undefined);
    expect((await storage.open('a')).pending).toBeUndefined();
    await storage.setPending('a', { label: 'again', patch: [] });
    await storage.append('a', step(1, 'again'), summary);
    expect((await storage.open('a')).pending).toBeUndefined();
  });

  it('keeps the evidence that a step brought with that step', async () => {
    const { summary } = storedSong('a');
    await storage.create(storedSong('a'), undefined);
    await storage.append('a', { ...step(1), evidence: flatEvidence(8, 'test-2') }, summary);
    await storage.append('a', step(2), summary);
    const song = await (await reload()).open('a');
    expect(song.evidence?.version).toBe('test-1');
    expect(song.steps.map((each) => each.evidence?.version)).toEqual([undefined, 'test-2', undefined]);
    await storage.append('a', step(1, 'otherwise'), summary);
    expect((await storage.open('a')).steps.map((each) => each.evidence)).toEqual([undefined, undefined]);
  });

  it('keeps songs apart', async () => {
    await storage.create(storedSong('a'), sound());
    await storage.create(storedSong('ab'), sound());
    await storage.append('a', step(1), storedSong('a').summary);
    await storage.remove('a');
    expect((await storage.list()).map((song) => song.id)).toEqual(['ab']);
    expect((await storage.open('ab')).steps).toHaveLength(1);
    expect((await storage.audio('ab'))?.size).toBe(4);
  });

  it('forgets a song altogether when it is removed', async () => {
    await storage.create(storedSong('a'), sound());
    await storage.append('a', step(1), storedSong('a').summary);
    await storage.remove('a');
    await expect(storage.open('a')).rejects.toThrow(/no longer in the library/);
    await storage.create(storedSong('a'), undefined);
    expect((await storage.open('a')).steps).toHaveLength(1);
    expect(await storage.audio('a')).toBeUndefined();
  });

  it('refuses a second song under the same id and leaves the first as it was', async () => {
    await storage.create(storedSong('a'), sound());
    await expect(storage.create(storedSong('a', mapOfBars([3, 3])), undefined)).rejects.toThrow(/already kept/);
    expect(await storage.open('a')).toEqual(storedSong('a'));
    expect((await storage.audio('a'))?.size).toBe(4);
  });

  it('puts a song in place of what is kept, whose recording stays, or where nothing is', async () => {
    await storage.create(storedSong('a'), sound());
    await storage.append('a', step(1), storedSong('a').summary);
    const other = storedSong('a', mapOfBars([3, 3]));
    await storage.put(other);
    await storage.put(storedSong('b'));
    const again = await reload();
    expect(await again.open('a')).toEqual(other);
    expect((await again.audio('a'))?.size).toBe(4);
    expect(await again.open('b')).toEqual(storedSong('b'));
    expect(await again.audio('b')).toBeUndefined();
  });

  it.each(['open', 'audio', 'append', 'setPlace', 'setPending', 'setAudio'] as const)(
    'says that a song is not there: %s',
    async (call) => {
      const { summary } = storedSong('x');
      const attempt = {
        open: () => storage.open('x'),
        audio: () => storage.audio('x'),
        append: () => storage.append('x', step(1), summary),
        setPlace: () => storage.setPlace('x', 0, summary),
        setPending: () => storage.setPending('x', { label: 'l', patch: [] }),
        setAudio: () => storage.setAudio('x', sound()),
      }[call];
      await expect(attempt()).rejects.toMatchObject({ name: 'StorageProblem', kind: 'missing' });
    },
  );
});

describe('storage in the browser', () => {
  beforeEach(() => {
    globalThis.indexedDB = new IDBFactory();
  });

  it('says that there is no room, and keeps nothing of the song', async () => {
    const folder = new RecordingFolder();
    const storage = await indexedDbStorage({ recordings: recordingFiles(folder.asHandle()) });
    folder.full = true;
    await expect(storage.create(storedSong('a'), sound())).rejects.toThrow(/no room left to keep the song/);
    expect(await storage.list()).toEqual([]);
  });

  it('leaves the history as it was when a step cannot be written', async () => {
    const storage = await indexedDbStorage({ recordings: undefined });
    await storage.create(storedSong('a'), undefined);
    await storage.append('a', step(1), storedSong('a').summary);
    // A function cannot be stored: the step's own write fails after the steps behind it were dropped.
    const unwritable = { ...step(1, 'broken'), patch: () => undefined };
    await expect(storage.append('a', unwritable, storedSong('a').summary)).rejects.toMatchObject({ kind: 'failed' });
    const song = await storage.open('a');
    expect(song.steps.map(({ label }) => label)).toEqual(['', 'edit 1']);
    expect(song.place).toBe(1);
  });

  it('removes files that no song names at the next start, and only those', async () => {
    const folder = new RecordingFolder();
    const files = recordingFiles(folder.asHandle());
    const storage = await indexedDbStorage({ recordings: files });
    await storage.create(storedSong('a'), sound());
    await files.write('stray', sound());
    await indexedDbStorage({ recordings: files });
    expect([...folder.files.keys()]).toEqual(['a']);
  });

  it('tells that the database was deleted from outside, says what is missing, and keeps songs again', async () => {
    const storage = await indexedDbStorage({ recordings: undefined });
    await storage.create(storedSong('a'), undefined);
    const lost = new Promise<void>((resolve) => storage.onLost(resolve));
    indexedDB.deleteDatabase('barwright');
    await lost;
    const { summary } = storedSong('a');
    await expect(storage.setPlace('a', 0, summary)).rejects.toMatchObject({ kind: 'missing' });
    await storage.put(storedSong('a'));
    expect(await (await indexedDbStorage({ recordings: undefined })).open('a')).toEqual(storedSong('a'));
  });

  it('lists a song whose row is damaged, so that it can be opened as far as it goes, or deleted', async () => {
    const storage = await indexedDbStorage({ recordings: undefined });
    for (const [id, row] of Object.entries({ a: 7, b: {}, c: { summary: { id: 'x', title: 3, changed: 'soon' } } })) {
      await storage.create(storedSong(id), undefined);
      await overwrite('songs', row, id);
    }
    expect((await storage.list()).map(({ id, title, changed }) => [id, title, changed])).toEqual(
      ['a', 'b', 'c'].map((id) => [id, 'A damaged song', 0]),
    );
    await storage.remove('b');
    expect((await storage.list()).map(({ id }) => id)).toEqual(['a', 'c']);
  });

  it('says so when a newer version of the program has kept the songs', async () => {
    await new Promise<void>((resolve) => {
      const request = indexedDB.open('barwright', 99);
      request.onsuccess = () => {
        request.result.close();
        resolve();
      };
    });
    await expect(indexedDbStorage({ recordings: undefined })).rejects.toMatchObject({ kind: 'newer' });
  });
});

/** Writes over what is kept, past the storage. */
function overwrite(store: string, value: unknown, key: IDBValidKey): Promise<void> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('barwright');
    opening.onerror = () => reject(new Error('the library could not be opened'));
    opening.onsuccess = () => {
      const tx = opening.result.transaction(store, 'readwrite');
      tx.objectStore(store).put(value, key);
      tx.oncomplete = () => {
        opening.result.close();
        resolve();
      };
    };
  });
}
