import { beforeEach, describe, expect, it } from 'vitest';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { Session, Task } from '../../../src/app/kit/session.js';
import { memoryShelf, memoryStorage, type MemoryShelf } from '../../../src/platform/storage/memory.js';
import { CUT_SHORT, fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';
import { until } from '../../support/until.js';

let shelf: MemoryShelf;
let ports: FakePorts;
let session: Session;

beforeEach(() => {
  shelf = memoryShelf();
  ports = fakePorts(memoryStorage(shelf));
  session = createSession(ports);
});

const title = (): string | undefined => session.song.value?.map.title;

describe('opening a recording', () => {
  it('shows the outline and names each step while it works', async () => {
    const seen: Task[] = [];
    const stop = session.task.subscribe((task) => {
      if (task) seen.push(task);
    });
    await session.openFile(recordingFile('lantern_road.wav', 30));
    stop();
    expect([...new Set(seen.map(({ text }) => text))]).toEqual([
      'Reading "lantern_road.wav"',
      'Listening through the song',
      'Finding beats',
    ]);
    expect(seen.some(({ outline }) => outline?.data.length === 30 * 400)).toBe(true);
    expect(seen.map(({ done }) => done)).toEqual([...seen.map(({ done }) => done)].sort((a, b) => a - b));
    expect(seen.at(-1)?.found).toEqual({ beats: [0.5, 1, 1.5, 2], lines: [0.5] });
    expect(session.task.value).toBeUndefined();
  });

  it('lets the user listen while the analysis still runs', async () => {
    ports.analyser.analysing.hold();
    const opening = session.openFile(recordingFile());
    await until(() => ports.analyser.analysing.count === 1);
    await session.play(3);
    expect(session.playing.value).toBe(true);
    expect(ports.player.plays).toEqual([{ from: 3, until: 30 }]);
    ports.analyser.analysing.open();
    await opening;
    expect(session.playing.value).toBe(true);
    expect(ports.player.plan?.soundings.filter(({ bus }) => bus === 'click').length).toBeGreaterThan(40);
  });

  it('keeps the song with its recording, so that a reload needs neither analysis nor solve', async () => {
    const file = recordingFile();
    await session.openFile(file);
    const { id, map } = session.song.value!;
    await session.dispose();
    const again = fakePorts(memoryStorage(shelf));
    const reloaded = createSession(again);
    await until(() => reloaded.songs.value.length === 1);
    await reloaded.openSong(id);
    expect(reloaded.song.value?.map).toEqual(map);
    await until(() => reloaded.song.value?.audible);
    expect(reloaded.song.value?.read).toBe(1);
    expect(again.decoder.names).toEqual(['lantern_road.wav']);
    expect([again.analyser.analyses, again.analyser.solves]).toEqual([0, 0]);
    expect(await (await again.storage.audio(id))?.text()).toBe(await file.text());
  });

  it('does not wait for the browser to answer whether songs are kept', async () => {
    const storage = { ...ports.storage, keeping: () => new Promise<never>(() => undefined) };
    session = createSession({ ...ports, storage });
    await session.openFile(recordingFile());
    await session.saveProject(true);
    const { name, data } = ports.files.saved.at(-1)!;
    await session.openFile(new File([data], name));
    await until(() => session.song.value?.audible);
    expect(session.songs.value).toHaveLength(2);
  });

  it('leaves the open song as it was when the next file is no recording', async () => {
    await session.openFile(recordingFile());
    const song = session.song.value;
    await session.openFile(new File(['words'], 'letter.txt'));
    expect(session.song.value).toBe(song);
    expect(session.notice.value).toMatchObject({
      kind: 'error',
      text: '"letter.txt" is not a recording: choose an audio file.',
    });
    expect(session.songs.value).toHaveLength(1);
    expect(ports.player.loaded).toBe(true);
  });

  it('leaves the open song as it was, and able to be edited, when an analysis is cancelled', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    const song = session.song.value;
    ports.analyser.analysing.hold();
    const opening = session.openFile(recordingFile('two.wav', 40));
    await until(() => ports.analyser.analysing.count === 1);
    session.task.value?.cancel?.();
    ports.analyser.analysing.open();
    await opening;
    expect(session.song.value).toBe(song);
    expect(session.task.value).toBeUndefined();
    expect(session.notice.value?.text).toBe('Reading "two.wav": stopped. Nothing was changed.');
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    expect(barsOf(session.song.value!.map)[1]?.beats).toHaveLength(2);
  });

  it('takes the file dropped last when two are dropped', async () => {
    ports.decoder.gate.hold();
    const first = session.openFile(recordingFile('one.wav'));
    await until(() => ports.decoder.gate.count === 1);
    const second = session.openFile(recordingFile('two.wav', 40));
    await until(() => ports.decoder.gate.count === 2);
    ports.decoder.gate.open();
    await Promise.all([first, second]);
    expect(title()).toBe('Two');
    expect(session.songs.value).toHaveLength(1);
  });

  it('opens the song that was made from the same recording before, as it was left', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    await session.openFile(recordingFile('two.wav', 40));
    await session.openFile(recordingFile('one again.wav', 13));
    expect(title()).toBe('One');
    expect(session.song.value?.undoLabel).toBe('bar 2: 2 beats');
    expect(session.songs.value).toHaveLength(2);
    expect(ports.analyser.analyses).toBe(2);
    expect(session.notice.value?.text).toBe('You have this recording already: here is "One" as you left it.');
    expect(session.notice.value?.action?.label).toBe('Analyse anew');
  });

  it('keeps the map without the recording when there is no room for both', async () => {
    const create = ports.storage.create;
    Object.assign(ports.storage, {
      create: async (...[song, audio]: Parameters<typeof create>) => {
        if (audio) throw Object.assign(new Error('full'), { name: 'StorageProblem', kind: 'full' });
        await create(song, audio);
      },
    });
    await session.openFile(recordingFile());
    expect(session.song.value).toMatchObject({ hasAudio: false, audible: true, saved: 'saved' });
    expect(session.notice.value?.text).toMatch(/no room to keep the recording itself; the map is kept/);
  });

  it('says what is wrong with a recording that it opens all the same, until that is read', async () => {
    await session.openFile(recordingFile('half.wav', 30, 'cut'));
    expect(title()).toBe('Half');
    expect(session.notice.value).toMatchObject({
      kind: 'error',
      text: expect.stringContaining(CUT_SHORT.slice(0, -1)) as string,
    });
  });

  it('opens a bundled recording by its name', async () => {
    ports.files.samples.set('kites.ogg', recordingFile('kites.ogg', 20));
    await session.openSample('kites.ogg');
    expect(title()).toBe('Kites');
    await session.openSample('none.ogg');
    expect(session.notice.value?.kind).toBe('error');
    expect(title()).toBe('Kites');
  });
});

describe('the library', () => {
  it('renames a song that is not open, as an edit of its own', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    const { id } = session.song.value!;
    await session.openFile(recordingFile('two.wav', 40));
    await session.renameSong(id, '  First waltz ');
    expect(session.songs.value.map((song) => song.title)).toEqual(['First waltz', 'Two']);
    await session.openSong(id);
    expect(title()).toBe('First waltz');
    await session.undo();
    expect(title()).toBe('One');
  });

  it('deletes the open song and lets go of its sound', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    await session.removeSong(session.song.value!.id);
    expect(session.song.value).toBeUndefined();
    expect(session.songs.value).toEqual([]);
    expect(ports.player.loaded).toBe(false);
  });

  it('does not open a song that another window has', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    const { id } = session.song.value!;
    const other = createSession(fakePorts(memoryStorage(shelf)));
    await other.openSong(id);
    expect(other.song.value).toBeUndefined();
    expect(other.notice.value?.text).toMatch(/open in another window/);
    session.closeSong();
    await until(() => shelf.claims.size === 0);
    await other.openSong(id);
    expect(other.song.value?.id).toBe(id);
  });

  it('opens a song once when it is asked for twice at the same time', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    const { id } = session.song.value!;
    session.closeSong();
    await Promise.all([session.openSong(id), session.openSong(id)]);
    expect(session.song.value?.id).toBe(id);
    expect(session.notice.value).toBeUndefined();
    await until(() => session.song.value?.audible);
    expect(ports.decoder.names).toEqual(['one.wav', 'one.wav']);
  });

  it('says what is wrong with a song whose history cannot be read, and keeps the open one', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    await session.openFile(recordingFile('two.wav', 40));
    const damaged = session.songs.value.find((song) => song.title === 'One')!.id;
    const entry = shelf.songs.get(damaged)!;
    entry.song = { ...entry.song, steps: [] };
    await session.openSong(damaged);
    expect(title()).toBe('Two');
    expect(session.notice.value?.kind).toBe('error');
    expect(shelf.claims.has(damaged)).toBe(false);
  });

  it('finishes the edits of a song that is closed while they are solved', async () => {
    await session.openFile(recordingFile('one.wav', 13));
    const { id } = session.song.value!;
    ports.analyser.gate.hold();
    void session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    void session.edit('bar 3: 3 beats', (map) => setBarBeats(map, 2, 3));
    await until(() => ports.analyser.gate.count === 1);
    const opening = session.openFile(recordingFile('two.wav', 40));
    ports.analyser.gate.open();
    await opening;
    expect(title()).toBe('Two');
    await until(() => !shelf.claims.has(id));
    const stored = await ports.storage.open(id);
    expect(stored.steps.map(({ label }) => label)).toEqual(['', 'bar 2: 2 beats', 'bar 3: 3 beats']);
    expect(stored.pending).toBeUndefined();
  });
});

describe('analysing anew', () => {
  beforeEach(async () => {
    await session.openFile(recordingFile('one.wav', 13));
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
  });

  it('says first what would change, then applies it as one edit around the locks', async () => {
    const before = session.song.value!.map;
    ports.analyser.version = 'test-2';
    await session.analyseAnew();
    expect(session.song.value?.map).toBe(before);
    expect(session.notice.value?.text).toBe('Analysed anew: 5 of 6 bars would change. What you locked stays.');
    await session.notice.value?.action?.run();
    const { map } = session.song.value!;
    expect(map.analysis).toBe('test-2');
    expect(barsOf(map).map((bar) => bar.beats.length)).toEqual([3, 1, 2, 3, 3, 3, 3, 3, 2]);
    expect(session.song.value?.undoLabel).toBe('analysed anew');
  });

  it('goes back to the old evidence with undo, across a reload', async () => {
    ports.analyser.version = 'test-2';
    await session.analyseAnew();
    await session.notice.value?.action?.run();
    await session.undo();
    const { id } = session.song.value!;
    await session.dispose();
    const again = fakePorts(memoryStorage(shelf));
    const reloaded = createSession(again);
    await reloaded.openSong(id);
    expect(reloaded.song.value?.evidence.version).toBe('test-1');
    await reloaded.redo();
    expect(reloaded.song.value?.evidence.version).toBe('test-2');
    await reloaded.edit('bar 5: 2 beats', (map) => setBarBeats(map, 4, 2));
    expect(reloaded.song.value?.map.analysis).toBe('test-2');
    expect(again.analyser.solves).toBe(1);
  });

  it('says so when nothing would change', async () => {
    await session.analyseAnew();
    expect(session.notice.value?.text).toBe('Analysed anew: nothing would change.');
    expect(session.notice.value?.action).toBeUndefined();
  });
});
