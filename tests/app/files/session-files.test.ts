import { beforeEach, describe, expect, it } from 'vitest';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import { setChords } from '../../../src/model/edits/chords.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { Session } from '../../../src/app/kit/session.js';
import { memoryStorage } from '../../../src/platform/storage/memory.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';
import { until } from '../../support/until.js';

let ports: FakePorts;
let session: Session;
const recording = recordingFile('lantern_road.wav', 13);

beforeEach(async () => {
  ports = fakePorts();
  session = createSession(ports);
  await session.openFile(recording);
  await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
  await session.retitle('Lantern: Road / 2');
  await session.undo();
});

/** What was handed to the user last, as a file to open again. */
function handedOver(from = ports): File {
  const { name, data } = from.files.saved.at(-1)!;
  return new File([data], name);
}

/** A session of somebody else, with an empty library. */
function elsewhere(): { ports: FakePorts; session: Session } {
  const own = fakePorts();
  return { ports: own, session: createSession(own) };
}

describe('a project file', () => {
  it('takes the song elsewhere with history, place and recording, without analysing or solving', async () => {
    await session.saveProject(true);
    expect(session.notice.value?.text).toBe('Saved as "Lantern Road.barwright".');
    const other = elsewhere();
    await other.session.openFile(handedOver());
    expect(other.session.song.value).toMatchObject({
      map: session.song.value!.map,
      evidence: session.song.value!.evidence,
      undoLabel: 'bar 2: 2 beats',
      redoLabel: 'title: Lantern: Road / 2',
      hasAudio: true,
    });
    await until(() => other.session.song.value?.audible);
    const { id } = other.session.song.value!;
    expect(await (await other.ports.storage.audio(id))?.text()).toBe(await recording.text());
    expect([other.ports.analyser.analyses, other.ports.analyser.solves]).toEqual([0, 0]);
    await other.session.undo();
    expect(barsOf(other.session.song.value!.map)[1]?.beats).toHaveLength(4);
    await other.session.edit('bar 3: 3 beats', (map) => setBarBeats(map, 2, 3));
    expect(barsOf(other.session.song.value!.map)[2]?.beats).toHaveLength(3);
  });

  it('has a name that every disk takes', async () => {
    await session.redo();
    await session.saveProject(false);
    expect(ports.files.saved.at(-1)?.name).toBe('Lantern Road 2.barwright');
  });

  it('keeps the evidence of each analysis', async () => {
    ports.analyser.version = 'test-2';
    await session.analyseAnew();
    await session.notice.value?.action?.run();
    await session.saveProject(false);
    const other = elsewhere();
    await other.session.openFile(handedOver());
    expect(other.session.song.value?.evidence.version).toBe('test-2');
    await other.session.undo();
    expect(other.session.song.value?.evidence.version).toBe('test-1');
  });

  it('asks for its recording when it came without, and knows it by its content', async () => {
    await session.saveProject(false);
    const other = elsewhere();
    await other.session.openFile(handedOver());
    expect(other.session.song.value).toMatchObject({ hasAudio: false, audible: false });
    expect(other.session.notice.value?.text).toMatch(/The recording is not kept.*Choose "lantern_road.wav" to hear it/);
    expect(other.session.notice.value?.action?.label).toBe('Choose the recording');
    await other.session.play();
    expect(other.session.notice.value?.text).toMatch(/recording "lantern_road.wav" is not here/);
    expect(other.ports.player.plays).toEqual([]);

    other.ports.files.next = recordingFile('wrong.wav', 40);
    await other.session.chooseRecording();
    expect(other.session.song.value).toMatchObject({ hasAudio: false, audible: false });
    expect(other.session.notice.value?.text).toBe(
      '"wrong.wav" (40 seconds) is not the recording of "Lantern Road", which was made from "lantern_road.wav" (13 seconds). Choose that file, or open this one as a song of its own.',
    );

    other.ports.files.next = new File([recording], 'renamed.wav');
    await other.session.chooseRecording();
    expect(other.session.song.value).toMatchObject({ hasAudio: true, audible: true });
    expect(other.session.songs.value[0]?.hasAudio).toBe(true);
  });

  it('finds its recording in the library when another song there has it', async () => {
    await session.saveProject(false);
    await session.openFile(handedOver());
    expect(session.songs.value).toHaveLength(2);
    expect(session.song.value?.hasAudio).toBe(true);
    await until(() => session.song.value?.audible);
  });

  it('is refused with what was found when it is damaged, and the open song stays', async () => {
    await session.saveProject(true);
    const bytes = new Uint8Array(await handedOver().arrayBuffer());
    const song = session.song.value;
    await session.openFile(new File([bytes.slice(0, bytes.length / 3)], 'half.barwright'));
    expect(session.notice.value?.kind).toBe('error');
    expect(session.song.value).toBe(song);
    expect(session.songs.value).toHaveLength(1);
  });

  it('can be saved when nothing can be stored any more', async () => {
    const full = async (): Promise<void> => {
      throw Object.assign(new Error('There is no room left.'), { name: 'StorageProblem', kind: 'full' });
    };
    Object.assign(ports.storage, { append: full, setPending: full });
    await session.edit('bar 3: 3 beats', (map) => setBarBeats(map, 2, 3));
    await session.saveProject(true);
    const other = elsewhere();
    await other.session.openFile(handedOver());
    expect(other.session.song.value?.undoLabel).toBe('bar 3: 3 beats');
  });

  it('is the bare document too: shown and marked, its bars changed only after an analysis', async () => {
    const { map } = session.song.value!;
    const document = JSON.stringify({ format: 'barwright-project', version: 1, map });
    const other = elsewhere();
    await other.session.openFile(new File([document], 'bare.barwright'));
    expect(other.session.song.value?.map).toEqual(map);
    await other.session.retitle('Bare');
    expect(other.session.song.value?.map.title).toBe('Bare');
    await other.session.edit('bar 1: 3 beats', (now) => setBarBeats(now, 0, 3));
    expect(other.session.notice.value?.text).toMatch(/came without its analysis; choose its recording/);
    other.ports.files.next = recording;
    await other.session.chooseRecording();
    expect(other.session.song.value?.peaks.data.length).toBeGreaterThan(0);
    await other.session.analyseAnew();
    await other.session.notice.value?.action?.run();
    await other.session.edit('bar 1: 3 beats', (now) => setBarBeats(now, 0, 3));
    expect(barsOf(other.session.song.value!.map)[0]?.beats).toHaveLength(3);
  });
});

describe('JAMS', () => {
  it('is handed over as a file, and what it cannot say is said', async () => {
    await session.exportFile('jams');
    const { name, data } = ports.files.saved.at(-1)!;
    expect(name).toBe('Lantern Road.jams');
    const annotations = (JSON.parse(await data.text()) as { annotations: { namespace: string }[] }).annotations;
    expect(annotations.map(({ namespace }) => namespace)).toContain('beat_position');
    expect(session.notice.value?.text).toBe('Exported as "Lantern Road.jams".');
    await session.edit('chords', (map) => setChords(map, 0, [{ beat: 0, harte: 'strange' }]));
    await session.exportFile('jams');
    expect(session.notice.value?.text).toMatch(/1 chord cannot be written in JAMS and was left out: strange\./);
  });
});

describe('a song without storage', () => {
  it('is told to be gone with the page', async () => {
    const own = createSession(fakePorts(memoryStorage()));
    await own.openFile(recording);
    expect(own.keeping.value).toBe('not kept');
  });
});
