import { strFromU8, strToU8, unzipSync } from 'fflate';
import { beforeEach, describe, expect, it } from 'vitest';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { StoragePort } from '../../../src/app/kit/ports.js';
import type { Session } from '../../../src/app/kit/session.js';
import { memoryStorage } from '../../../src/platform/storage/memory.js';
import { StorageProblem } from '../../../src/platform/storage/problem.js';
import { oddArchive, packed, stored } from '../../support/odd-archives.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';

let ports: FakePorts;
let session: Session;

beforeEach(async () => {
  ports = fakePorts();
  session = createSession(ports);
  await session.openFile(recordingFile('lantern_road.wav', 13, 'one'));
  await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
  await session.edit('bar 3: 3 beats', (map) => setBarBeats(map, 2, 3));
  await session.undo();
  await session.openFile(recordingFile('mill_pond.wav', 17, 'two'));
  session.closeSong();
});

async function backup(from = { ports, session }): Promise<File> {
  await from.session.backUp();
  const { name, data } = from.ports.files.saved.at(-1)!;
  return new File([data], name);
}

function elsewhere(storage?: StoragePort): { ports: FakePorts; session: Session } {
  const own = fakePorts(storage);
  return { ports: own, session: createSession(own) };
}

const titles = (of: Session): string[] => of.songs.value.map(({ title }) => title).sort();
const whole = async ({ storage }: { storage: StoragePort }) =>
  Promise.all(
    (await storage.list()).map(async ({ id }) => [await storage.open(id), await (await storage.audio(id))?.text()]),
  );

describe('a backup of all songs', () => {
  it('brings every song back elsewhere with history, place, analysis and recording', async () => {
    const file = await backup();
    expect(file.name).toMatch(/^Songs \d{4}-\d\d-\d\d\.barwright-songs$/);
    expect(session.notice.value?.text).toBe(`2 songs saved as "${file.name}", with the recordings that are kept here.`);
    const other = elsewhere();
    await other.session.openFile(file);
    expect(other.session.notice.value).toMatchObject({ kind: 'info', text: '2 songs restored.' });
    const strip = (songs: Awaited<ReturnType<typeof whole>>) =>
      songs.map(([song, audio]) => [{ ...(song as object), soundOf: '', print: '' }, audio]);
    expect(strip(await whole(other.ports))).toEqual(strip(await whole(ports)));
  });

  it('restored into the library it came from changes nothing, and twice doubles nothing', async () => {
    const file = await backup();
    const before = await whole(ports);
    await session.openFile(file);
    expect(session.notice.value?.text).toBe('0 songs restored. 2 songs were here already.');
    expect(await whole(ports)).toEqual(before);
  });

  it('stands beside a song that was worked on since, which stays as it is', async () => {
    const file = await backup();
    const { id } = session.songs.value.find(({ title }) => title === 'Lantern Road')!;
    ports.clock.pass(5000);
    await session.openSong(id);
    await session.retitle('Lantern Road, new');
    const now = await ports.storage.open(id);
    for (let round = 0; round < 2; round += 1) await session.openFile(file);
    expect(await ports.storage.open(id)).toEqual(now);
    expect(titles(session)).toEqual(['Lantern Road', 'Lantern Road, new', 'Mill Pond']);
  });

  it('that was interrupted is taken up again where it stopped', async () => {
    const file = await backup();
    const storage = memoryStorage();
    let room = 1;
    const { ports: own, session: other } = elsewhere({
      ...storage,
      create: async (...args) => {
        if (room-- <= 0) throw new StorageProblem('full', 'There is no room left.');
        await storage.create(...args);
      },
    });
    await other.openFile(file);
    expect(other.notice.value).toMatchObject({ kind: 'error' });
    expect(other.notice.value?.text).toMatch(/^1 song restored\. Not restored: "[^"]+"\. There is no room for more/);
    room = 9;
    await other.openFile(file);
    expect(other.notice.value?.text).toBe('1 song restored. 1 song was here already.');
    expect(await whole(own)).toHaveLength(2);
  });

  it('cut off anywhere gives the songs before the cut, and names those that are missing', async () => {
    const file = await backup();
    for (const share of [0.02, 0.3, 0.6, 0.9]) {
      const { session: other } = elsewhere();
      await other.openFile(new File([file.slice(0, Math.floor(file.size * share))], file.name));
      const { kind, text } = other.notice.value!;
      expect(kind).toBe('error');
      const missing = ['Lantern Road', 'Mill Pond'].filter((title) => !titles(other).includes(title));
      if (share > 0.02) for (const title of missing) expect(text).toContain(`"${title}"`);
      expect(text).toMatch(/breaks off|broken|damaged/);
    }
  });

  it('with a song that unfolds to far more than it is restores the others, and names it', async () => {
    const file = await backup();
    const bytes = new Uint8Array(await file.arrayBuffer());
    const zeros = packed('zeros.bin', new Uint8Array(2 ** 20));
    const odd = oddArchive([zeros, zeros]);
    const list = { id: 'odd', title: 'Odd', changed: 1, file: 'odd.barwright' };
    const songs = unzipSync(bytes);
    const own = JSON.parse(strFromU8(songs['songs.json']!)) as { songs: object[] };
    const entries = Object.entries({
      ...songs,
      'songs.json': strToU8(JSON.stringify({ ...own, songs: [...own.songs, list] })),
      'odd.barwright': odd,
    });
    const other = elsewhere();
    await other.session.openFile(
      new File([oddArchive(entries.map(([name, data]) => stored(name, data))) as Uint8Array<ArrayBuffer>], 'all.zip'),
    );
    expect(titles(other.session)).toEqual(titles(session));
    expect(other.session.notice.value!.text).toMatch(/2 songs restored\. Not whole: "Odd" \(.*two entries of the name/);
  });

  it('keeps songs of one title apart', async () => {
    for (const song of session.songs.peek()) await session.renameSong(song.id, 'One Title');
    const file = await backup();
    const entries = Object.keys(unzipSync(new Uint8Array(await file.arrayBuffer())));
    expect(entries.filter((name) => name.endsWith('One Title.barwright'))).toHaveLength(2);
    expect(new Set(entries).size).toBe(3);
    const other = elsewhere();
    await other.session.openFile(file);
    expect(titles(other.session)).toEqual(['One Title', 'One Title']);
  });

  it('names a song that cannot be read and saves the others', async () => {
    const { id, title } = session.songs.value[0]!;
    const { storage } = ports;
    const broken = elsewhere({
      ...storage,
      open: async (wanted) => {
        if (wanted === id) throw new StorageProblem('failed', 'Its analysis is missing.');
        return storage.open(wanted);
      },
    });
    await broken.session.backUp();
    expect(broken.session.notice.value).toMatchObject({
      kind: 'error',
      text: expect.stringContaining(`Left out: "${title}" (Its analysis is missing).`) as string,
    });
    expect(broken.session.settings.value.lastBackup).toBeUndefined();
  });

  it('of a newer version is refused untouched', async () => {
    const bytes = Buffer.from(await (await backup()).arrayBuffer());
    bytes[bytes.indexOf('"version":1') + 10] = '7'.charCodeAt(0);
    const newer = new File([bytes], 'newer.barwright-songs');
    const { session: other } = elsewhere();
    await other.openFile(newer);
    expect(other.notice.value?.text).toMatch(/newer version of the program \(format 7; this one reads 1\)/);
    expect(other.songs.value).toEqual([]);
  });

  it('names the songs changed since', async () => {
    expect(session.notBackedUp.value).toHaveLength(2);
    await backup();
    expect(session.notBackedUp.value).toEqual([]);
    ports.clock.pass(5000);
    await session.openSong(session.songs.value.find(({ title }) => title === 'Mill Pond')!.id);
    await session.edit('bar 2: 3 beats', (map) => setBarBeats(map, 1, 3));
    expect(session.notBackedUp.value.map(({ title }) => title)).toEqual(['Mill Pond']);
    const again = createSession(ports);
    expect(again.settings.value.lastBackup).toBe(session.settings.value.lastBackup);
  });
});
