import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pushMap, startHistory, storedSteps, type History } from '../../../src/model/history.js';
import { check } from '../../../src/model/invariants.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import { isEvidence } from '../../../src/app/song/no-evidence.js';
import type { KeptSong } from '../../../src/app/kit/ports.js';
import { readKept } from '../../../src/app/song/read-kept.js';
import { memoryShelf, memoryStorage } from '../../../src/platform/storage/memory.js';
import { fakePorts, recordingFile } from '../../support/fakes.js';
import { flatEvidence, mapOfBars, storedSong } from '../../support/songs.js';
import { until } from '../../support/until.js';

const COUNT = 30;

/** A song with COUNT edits, so that its steps hold two whole maps and differences between them. */
function longSong(): KeptSong {
  let history: History = startHistory(mapOfBars([4, 4, 2, 4]), '');
  for (let i = 1; i <= COUNT; i++)
    history = pushMap(history, `edit ${i}`, { ...mapOfBars([4, 4, 2, 4]), title: `Title ${i}` });
  return { ...storedSong('a'), steps: storedSteps(history), place: COUNT };
}

const with_ = (change: (song: Record<string, unknown> & { steps: Record<string, unknown>[] }) => void): KeptSong => {
  const song = structuredClone(longSong()) as unknown as Record<string, unknown> & { steps: Record<string, unknown>[] };
  change(song);
  return song as unknown as KeptSong;
};
const titleOf = async (kept: KeptSong): Promise<string> => {
  const { song } = await readKept(kept);
  const { restoreHistory, currentMap } = await import('../../../src/model/history.js');
  return currentMap(restoreHistory(song.steps, song.place)).title;
};

describe('a song as it is kept', () => {
  it('is left as it is when it is whole', async () => {
    const kept = longSong();
    const { song, lost } = await readKept(kept);
    expect(lost).toEqual([]);
    expect(song).toEqual(kept);
  });

  it('loses only the steps up to the next whole map when a difference is damaged', async () => {
    const { song, lost } = await readKept(with_(({ steps }) => (steps[20]!['patch'] = 'x')));
    expect(lost).toHaveLength(1);
    expect(song.steps.map(({ label }) => label).slice(18, 22)).toEqual(['edit 18', 'edit 19', 'edit 25', 'edit 26']);
    expect(await titleOf(with_(({ steps }) => (steps[20]!['patch'] = 'x')))).toBe('Title 30');
  });

  it('shows the nearest map before when the one shown is damaged', async () => {
    expect(await titleOf(with_(({ steps }) => (steps[28]!['patch'] = [{ op: 'remove', path: '/spans' }])))).toBe(
      'Title 27',
    );
    expect(await titleOf(with_((song) => (song['place'] = 99)))).toBe('Title 30');
  });

  it('goes on without analysis and outline when these are gone or something else', async () => {
    for (const evidence of [undefined, 5, { version: 'x' }, { ...flatEvidence(10), tracks: { beat: { data: 'x' } } }]) {
      const { song, lost } = await readKept(with_((kept) => Object.assign(kept, { evidence, peaks: undefined })));
      expect(lost).toEqual(['its analysis', 'its outline']);
      expect(isEvidence(song.evidence)).toBe(false);
      expect(song.peaks.data).toHaveLength(0);
    }
  });

  it('says so when no map is left', async () => {
    for (const steps of [[], undefined, [{}], 'x'])
      await expect(readKept(with_((kept) => Object.assign(kept, { steps })))).rejects.toThrow(
        /no map can be read of it/,
      );
  });

  it('whatever is damaged, is read or refused in a sentence, and what is read adds up', async () => {
    const junk = fc.oneof(fc.constant(undefined), fc.constant(null), fc.anything(), fc.string(), fc.integer());
    const place = fc.tuple(
      fc.nat(COUNT),
      fc.constantFrom('index', 'label', 'patch', 'snapshot', 'evidence', 'place', 'steps', 'peaks', 'print'),
    );
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(place, junk), { minLength: 1, maxLength: 4 }), async (faults) => {
        const kept = with_((song) => {
          for (const [[at, key], value] of faults) {
            const step = Array.isArray(song.steps) ? song.steps[at] : undefined;
            if (['place', 'steps', 'peaks', 'print'].includes(key)) Object.assign(song, { [key]: value });
            else if (step) step[key] = value;
          }
        });
        try {
          const { song } = await readKept(kept);
          const { restoreHistory, currentMap } = await import('../../../src/model/history.js');
          expect(check(currentMap(restoreHistory(song.steps, song.place)))).toEqual([]);
        } catch (error) {
          expect((error as Error).name).toBe('KeptSongProblem');
        }
      }),
    );
  });
});

it('a damaged song is opened with what is left of it, said, and kept whole from then on', async () => {
  const shelf = memoryShelf();
  const ports = fakePorts(memoryStorage(shelf));
  const session = createSession(ports);
  await session.openFile(recordingFile('lantern_road.wav', 13));
  const { id } = session.song.value!;
  await session.retitle('One');
  await session.retitle('Two');
  session.closeSong();
  const kept = shelf.songs.get(id)!;
  kept.song = { ...kept.song, steps: kept.song.steps.map((step, i) => (i === 2 ? { ...step, patch: 9 } : step)) };
  await session.openSong(id);
  expect(session.song.value?.map.title).toBe('One');
  expect(session.notice.value?.text).toMatch(/^What was kept of "One" was damaged\. Missing now: some of its steps/);
  await until(() => session.song.value?.saved === 'saved');
  expect((await ports.storage.open(id)).steps.map(({ label }) => label)).toEqual(['', 'title: One']);
});

it('a song of which no map is left can be mapped anew from its recording', async () => {
  const shelf = memoryShelf();
  const ports = fakePorts(memoryStorage(shelf));
  const session = createSession(ports);
  await session.openFile(recordingFile('lantern_road.wav', 13));
  const { id } = session.song.value!;
  session.closeSong();
  const kept = shelf.songs.get(id)!;
  kept.song = { ...kept.song, steps: [] };
  await session.openSong(id);
  expect(session.song.value).toBeUndefined();
  expect(session.notice.value?.action?.label).toBe('Map its recording anew');
  await session.notice.value?.action?.run();
  expect(session.song.value?.id).not.toBe(id);
  expect(session.song.value?.map.spans.length).toBeGreaterThan(3);
});
