import { beforeEach, describe, expect, it } from 'vitest';
import { setBarBeats, setDownbeat } from '../../../src/model/edits/bars.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { readProject } from '../../../src/project/read-project.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { Session } from '../../../src/app/kit/session.js';
import { memoryShelf, memoryStorage, type MemoryShelf } from '../../../src/platform/storage/memory.js';
import { until } from '../../support/until.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';

const lengths = (session: Session): string =>
  barsOf(session.song.value!.map)
    .map((bar) => bar.beats.length)
    .join(' ');

describe('editing a song', () => {
  let shelf: MemoryShelf;
  let ports: FakePorts;
  let session: Session;

  beforeEach(async () => {
    shelf = memoryShelf();
    ports = fakePorts(memoryStorage(shelf));
    session = createSession(ports);
    await session.openFile(recordingFile('lantern_road.wav', 13));
  });

  it('opens a recording and says what it found', () => {
    expect(session.song.value?.map.title).toBe('Lantern Road');
    expect(lengths(session)).toBe('4 4 4 4 4 3');
    expect(session.notice.value?.text).toBe(
      '6 bars, 4/4, about 120 bpm; 1 bar of another length; 2 places worth a listen',
    );
    expect(session.notice.value?.action?.label).toBe('Hear the first');
    expect(session.song.value?.audible).toBe(true);
  });

  it('leaves behind what it told of a song when the song is closed', () => {
    session.closeSong();
    expect(session.notice.value).toBeUndefined();
  });

  it('leaves behind what it only told when another workspace is opened, but no error and no offer', () => {
    const { workspace } = session.view;
    workspace.value = 'play';
    expect(session.notice.value).toBeUndefined();
    const offer = { label: 'Use it now', run: () => Promise.resolve() };
    for (const notice of [
      { kind: 'error', text: 'It failed.' },
      { kind: 'info', text: 'A new version is ready.', action: offer },
    ] as const) {
      session.say(notice);
      workspace.value = workspace.value === 'play' ? 'chart' : 'play';
      expect(session.notice.value?.text).toBe(notice.text);
    }
    session.say({ kind: 'info', text: 'Saved.' });
    expect(session.notice.value?.text).toBe('Saved.');
    workspace.value = 'map';
    expect(session.notice.value).toBeUndefined();
  });

  it('solves around an edit, says what changed and marks it for a second', async () => {
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    expect(lengths(session)).toBe('4 2 4 4 4 4');
    expect(session.notice.value?.text).toBe('Bar 2: 2 beats. 5 bars changed.');
    expect(session.song.value?.changed).toEqual([1, 2, 3, 4, 5]);
    ports.clock.pass(999);
    expect(session.song.value?.changed).toHaveLength(5);
    ports.clock.pass(1);
    expect(session.song.value?.changed).toEqual([]);
  });

  it('shares what an edit left as it was with the map before, for a long history takes little room then', async () => {
    const before = session.song.value!.map;
    await session.edit('bar 5: 3 beats', (map) => setBarBeats(map, 4, 3));
    const after = session.song.value!.map;
    expect(barsOf(after).slice(0, 4)).toEqual(barsOf(before).slice(0, 4));
    expect(
      barsOf(after)
        .slice(0, 4)
        .every((bar, i) => bar === barsOf(before)[i]),
    ).toBe(true);
  });

  it('stores the edit before the solve begins, and the solved map after it', async () => {
    ports.analyser.gate.hold();
    const done = session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    await until(() => ports.analyser.gate.count === 1);
    const { id } = session.song.value!;
    const during = await ports.storage.open(id);
    expect(during.pending?.label).toBe('bar 2: 2 beats');
    expect(during.steps).toHaveLength(1);
    expect(session.song.value?.solving).toBe(true);
    ports.analyser.gate.open();
    await done;
    const after = await ports.storage.open(id);
    expect(after.pending).toBeUndefined();
    expect(after.steps).toHaveLength(2);
    expect(session.song.value?.solving).toBe(false);
    expect(session.song.value?.saved).toBe('saved');
  });

  it('finishes after a reload the edit during whose solve the page went away', async () => {
    ports.analyser.gate.hold();
    void session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    await until(() => ports.analyser.gate.count === 1);
    // The page is gone: its claim with it, its solve never answered.
    shelf.claims.clear();
    const reloaded = createSession(fakePorts(memoryStorage(shelf)));
    await reloaded.openSong(session.song.value!.id);
    expect(lengths(reloaded)).toBe('4 2 4 4 4 4');
    expect(reloaded.song.value?.undoLabel).toBe('bar 2: 2 beats');
    expect(reloaded.notice.value?.text).toMatch(/last edit was not finished; it is now: Bar 2: 2 beats/);
  });

  it('loses no edit that is made while another is solved', async () => {
    ports.analyser.gate.hold();
    const first = session.edit('bar 1: 3 beats', (map) => setBarBeats(map, 0, 3));
    const second = session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    const third = session.undo();
    const fourth = session.edit('bar 2: 5 beats', (map) => setBarBeats(map, 1, 5));
    await until(() => ports.analyser.gate.count === 1);
    await ports.storage.list();
    // The first lies in storage as one to be finished, the others nowhere yet: leaving is asked about.
    expect(session.song.value?.saved).toBe('saving');
    ports.analyser.gate.open();
    await Promise.all([first, second, third, fourth]);
    await until(() => session.song.value?.saved === 'saved');
    expect(lengths(session)).toBe('3 5 4 4 4 3');
    await session.undo();
    expect(lengths(session)).toBe('3 4 4 4 4 4');
  });

  it('does not solve for an edit that concerns no beats', async () => {
    const before = ports.analyser.solves;
    await session.retitle('Lantern Lane');
    expect(ports.analyser.solves).toBe(before);
    expect(session.song.value?.map.title).toBe('Lantern Lane');
    expect(session.songs.value[0]?.title).toBe('Lantern Lane');
    expect(session.notice.value?.text).toBe('Title: Lantern Lane.');
  });

  it('undoes and redoes without solving, across a reload', async () => {
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    await session.edit('bar 4: 3 beats', (map) => setBarBeats(map, 3, 3));
    await session.undo();
    const { id } = session.song.value!;
    await session.dispose();

    const again = fakePorts(memoryStorage(shelf));
    const reloaded = createSession(again);
    await reloaded.openSong(id);
    expect(lengths(reloaded)).toBe('4 2 4 4 4 4');
    expect(reloaded.song.value?.redoLabel).toBe('bar 4: 3 beats');
    await reloaded.redo();
    expect(lengths(reloaded)).toBe('4 2 4 3 4 4 2');
    await reloaded.undo();
    await reloaded.undo();
    await reloaded.undo();
    expect(lengths(reloaded)).toBe('4 4 4 4 4 3');
    expect(reloaded.song.value?.undoLabel).toBeUndefined();
    expect(again.analyser.solves).toBe(0);
    expect(again.analyser.analyses).toBe(0);
  });

  it('refuses an edit that locks stand against, names them, and lifts them and applies it in one action', async () => {
    await session.edit('bar 3: 4 beats', (map) => setBarBeats(map, 2, 4));
    await session.edit('a bar starts at bar 4 beat 1', (map) => setDownbeat(map, barsOf(map)[3]!.start));
    const { map } = session.song.value!;
    await session.edit('bar 3: 2 beats, then 5', (now) => setDownbeat(now, barsOf(now)[2]!.start + 1));
    expect(session.song.value?.map).toBe(map);
    const { notice } = session;
    expect(notice.value?.kind).toBe('error');
    expect(notice.value?.text).toMatch(/not done, 1 lock is in the way: bar 3 has 4 beats/);
    expect(notice.value?.action?.label).toBe('Lift this lock and apply');
    const stored = await ports.storage.open(session.song.value!.id);
    expect(stored.pending).toBeUndefined();
    expect(stored.steps).toHaveLength(3);
    await notice.value!.action!.run();
    expect(lengths(session)).toBe('4 4 2 2 4 4 3');
    await session.undo();
    expect(session.song.value?.map).toEqual(map);
  });

  it('does nothing to a song that was closed since a way out was offered', async () => {
    const { id } = session.song.value!;
    await session.edit('bar 3: 4 beats', (map) => setBarBeats(map, 2, 4));
    await session.edit('in the way', (now) => setDownbeat(now, barsOf(now)[2]!.start + 1));
    const { action } = session.notice.value!;
    session.closeSong();
    await action!.run();
    expect((await ports.storage.open(id)).steps).toHaveLength(2);
  });

  it('keeps what can be done again when an edit is refused', async () => {
    await session.edit('bar 3: 4 beats', (map) => setBarBeats(map, 2, 4));
    await session.retitle('Another');
    await session.undo();
    await session.edit('in the way', (now) => setDownbeat(now, barsOf(now)[2]!.start + 1));
    expect(session.notice.value?.kind).toBe('error');
    expect(session.song.value?.redoLabel).toBe('title: Another');
    await session.redo();
    expect(session.song.value?.map.title).toBe('Another');
    expect((await ports.storage.open(session.song.value!.id)).place).toBe(2);
  });

  it('leaves the song as it was when the solver fails, and offers to try again', async () => {
    ports.analyser.failing = new Error('the worker is gone');
    const { map } = session.song.value!;
    await session.edit('bar 2: 2 beats', (now) => setBarBeats(now, 1, 2));
    expect(session.song.value?.map).toBe(map);
    expect(session.song.value?.solving).toBe(false);
    expect(session.notice.value?.text).toMatch(/could not be done: the worker is gone/);
    await session.notice.value!.action!.run();
    expect(lengths(session)).toBe('4 2 4 4 4 4');
  });

  it('says what is wrong with an edit that cannot be made', async () => {
    await session.edit('bar 99: 2 beats', (map) => setBarBeats(map, 98, 2));
    expect(session.notice.value).toEqual({ kind: 'error', text: 'There is no such bar: choose one on the map.' });
    expect(session.song.value?.undoLabel).toBeUndefined();
  });

  it('goes on in memory when storage fails, says so once, and stores everything when it is tried again', async () => {
    const { storage } = ports;
    const { id } = session.song.value!;
    const append = storage.append;
    const setPending = storage.setPending;
    const full = async (): Promise<void> => {
      throw Object.assign(new Error('There is no room left.'), { name: 'StorageProblem', kind: 'full' });
    };
    Object.assign(storage, { append: full, setPending: full });
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    await session.edit('bar 4: 3 beats', (map) => setBarBeats(map, 3, 3));
    expect(lengths(session)).toBe('4 2 4 3 4 4 2');
    expect(session.song.value?.saved).toBe('failed');
    expect((await storage.open(id)).steps).toHaveLength(1);
    Object.assign(storage, { append, setPending });
    await session.retitle('After');
    await until(() => session.song.value?.saved === 'saved');
    const stored = await storage.open(id);
    expect(stored.steps.map(({ label }) => label)).toEqual(['', 'bar 2: 2 beats', 'bar 4: 3 beats', 'title: After']);
  });

  it('stores the whole song anew, with its steps, when what was stored is gone, and says that the recording is not', async () => {
    const { storage } = ports;
    const { id } = session.song.value!;
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    await storage.remove(id);
    await session.edit('bar 4: 3 beats', (map) => setBarBeats(map, 3, 3));
    await until(() => session.song.value?.saved === 'saved');
    const stored = await storage.open(id);
    expect(stored.steps.map(({ label }) => label)).toEqual(['', 'bar 2: 2 beats', 'bar 4: 3 beats']);
    expect(stored.place).toBe(2);
    expect(session.song.value?.hasAudio).toBe(false);
    expect(stored.summary.hasAudio).toBe(false);
  });

  it('offers a project file first when storing fails, and what was done is in it', async () => {
    const full = async (): Promise<void> => {
      throw Object.assign(new Error('There is no room left.'), { name: 'StorageProblem', kind: 'full' });
    };
    Object.assign(ports.storage, { append: full, setPending: full });
    await session.retitle('With no room');
    await until(() => session.notice.value?.action?.label === 'Save a project file');
    expect(session.notice.value?.other?.label).toBe('Try again');
    await session.notice.value?.action?.run();
    const [saved] = ports.files.saved;
    const { project } = readProject(new Uint8Array(await saved!.data.arrayBuffer()));
    expect(project.map.title).toBe('With no room');
    expect(project.history?.steps.at(-1)?.label).toBe('title: With no room');
  });

  it('notes every change later than the last one, when the clock is set back too', async () => {
    await session.retitle('Before');
    const before = session.songs.value[0]!.changed;
    ports.clock.date = () => before - 86_400_000;
    await session.backUp();
    expect(session.notBackedUp.value).toEqual([]);
    await session.retitle('After');
    await until(() => session.song.value?.saved === 'saved');
    expect(session.songs.value[0]!.changed).toBeGreaterThan(before);
    expect(session.notBackedUp.value.map(({ title }) => title)).toEqual(['After']);
  });

  it('keeps the selected bars selected when their numbers change', async () => {
    session.view.selection.value = { first: 3, last: 4 };
    const start = barsOf(session.song.value!.map)[3]!.start;
    await session.edit('bar 1: 2 beats', (map) => setBarBeats(setDownbeat(map, barsOf(map)[1]!.start), 0, 2));
    const { first, last } = session.view.selection.value!;
    expect(barsOf(session.song.value!.map)[first]?.start).toBe(start);
    expect({ first, last }).toEqual({ first: 4, last: 5 });
  });
});
