import { beforeEach, describe, expect, it } from 'vitest';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import { alignmentText } from '../../../src/app/library/same-recording.js';
import type { Session } from '../../../src/app/kit/session.js';
import { memoryShelf, memoryStorage, type MemoryShelf } from '../../../src/platform/storage/memory.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';
import { until } from '../../support/until.js';

const first = recordingFile('lantern_road.wav', 30);
const other = recordingFile('lantern_road.mp3', 34, 'encoded anew');
const later = { offset: 3.5, speed: 1, agreement: 1, common: 29, knownSeconds: 29 };

let shelf: MemoryShelf;
let ports: FakePorts;
let session: Session;

beforeEach(async () => {
  shelf = memoryShelf();
  ports = fakePorts(memoryStorage(shelf));
  session = createSession(ports);
  await session.openFile(first);
  await session.edit('bar 3: 2 beats', (map) => setBarBeats(map, 2, 2));
  ports.analyser.same = () => later;
});

const map = () => session.song.value!.map;
const press = (which: 'action' | 'other') => session.notice.value![which]!.run();

describe('another file of a kept recording', () => {
  it('is told with how much later it is, and nothing happens until the user says so', async () => {
    const before = map();
    await session.openFile(other);
    expect(session.notice.value?.text).toMatch(
      /^"lantern_road\.mp3" is the same recording as "Lantern Road", 3\.50 s later\. Bars, locks/,
    );
    expect(map()).toBe(before);
    expect(session.songs.value).toHaveLength(1);
  });

  it('takes bars, locks, sections and sound along, as one edit that can be undone and done again', async () => {
    const before = map();
    await session.openFile(other);
    await press('action');
    expect(session.notice.value?.text).toBe('"Lantern Road" is on "lantern_road.mp3" now, 3.50 s later.');
    expect(map().recording.fileName).toBe('lantern_road.mp3');
    expect(barsOf(map()).map(({ start }) => start)).toEqual(barsOf(before).map(({ start }) => start + 3.5));
    expect(map().locks.map((lock) => 'time' in lock && lock.time)).toEqual(
      before.locks.map((lock) => 'time' in lock && lock.time + 3.5),
    );
    expect(session.song.value).toMatchObject({ audible: true, hasAudio: true });
    expect(session.song.value!.peaks.data).toHaveLength(34 * 400);
    // The song is edited on with the evidence of the new file.
    await session.edit('bar 1: 3 beats', (now) => setBarBeats(now, 0, 3));
    await session.undo();
    await session.undo();
    expect(map()).toEqual(before);
    await until(() => session.song.value?.audible);
    expect(ports.decoder.names.at(-1)).toBe('lantern_road.wav');
    await until(() => session.song.value?.peaks.data.length === 30 * 400);
    await session.redo();
    await until(() => session.song.value?.audible);
    expect(ports.decoder.names.at(-1)).toBe('lantern_road.mp3');
  });

  it('is there after a reload, the earlier file too', async () => {
    await session.openFile(other);
    await press('action');
    const { id } = session.song.value!;
    await session.undo();
    await until(() => session.song.value?.peaks.data.length === 30 * 400);
    await session.dispose();
    const again = fakePorts(memoryStorage(shelf));
    const reloaded = createSession(again);
    await until(() => reloaded.songs.value.length === 1);
    await reloaded.openSong(id);
    await until(() => reloaded.song.value?.audible);
    expect(again.decoder.names).toEqual(['lantern_road.wav']);
    await reloaded.redo();
    await until(() => again.decoder.names.length === 2 && reloaded.song.value?.audible);
    expect(again.decoder.names.at(-1)).toBe('lantern_road.mp3');
    expect(reloaded.song.value!.map.recording.duration).toBe(34);
  });

  it('says what the other file does not have', async () => {
    ports.analyser.same = () => ({ ...later, offset: -10, common: 20 });
    await session.openFile(recordingFile('cut.wav', 20, 'trimmed'));
    expect(session.notice.value?.text).toContain('10.00 s earlier. It has 20 seconds of it.');
    await press('action');
    expect(session.notice.value?.text).toMatch(/\d+ bars, 1 lock lie outside it and were left out; undo brings/);
  });

  it('is opened as a song of its own when the user wants that', async () => {
    await session.openFile(other);
    await press('other');
    expect(session.songs.value).toHaveLength(2);
    expect(map().recording.fileName).toBe('lantern_road.mp3');
  });

  it('is taken for a project that came without its recording; another recording is refused with both lengths', async () => {
    await session.saveProject(false);
    const { name, data } = ports.files.saved.at(-1)!;
    const elsewhere = fakePorts(memoryStorage());
    const there = createSession(elsewhere);
    await there.openFile(new File([data], name));
    expect(there.notice.value?.text).toMatch(/The recording is not kept with this song\. Choose "lantern_road\.wav"/);
    elsewhere.files.next = other;
    await there.chooseRecording();
    expect(there.notice.value?.text).toMatch(
      /"lantern_road\.mp3" \(34 seconds\) is not the recording of .* "lantern_road\.wav" \(30 seconds\)/,
    );
    elsewhere.analyser.same = ({ print }) => (print.words.length > 0 ? later : undefined);
    await there.chooseRecording();
    expect(there.notice.value?.text).toMatch(/is the same recording as "Lantern Road", 3\.50 s later/);
    await there.notice.value!.action!.run();
    expect(there.song.value).toMatchObject({ audible: true, hasAudio: true });
    expect(there.song.value!.map.recording.duration).toBe(34);
  });
});

describe('the words', () => {
  it('say offset and speed as a musician would', () => {
    expect(alignmentText({ offset: 0.42, speed: 1 })).toBe('0.42 s later');
    expect(alignmentText({ offset: -12.3, speed: 1 / 1.005 })).toBe('12.30 s earlier and 0.5 % faster');
    expect(alignmentText({ offset: 0.001, speed: 1.0100001 })).toBe('0.99 % slower');
    expect(alignmentText({ offset: 0.001, speed: 1 })).toBe('at the same times');
  });
});
