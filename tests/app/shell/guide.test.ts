import { beforeEach, describe, expect, it } from 'vitest';
import { addLocks } from '../../../src/model/edits/add-locks.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import { stepsSeen } from '../../../src/app/shell/guide-state.js';
import { GUIDE_STEPS, readGuide } from '../../../src/app/kit/guide.js';
import type { Session } from '../../../src/app/kit/session.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';
import { until } from '../../support/until.js';

let ports: FakePorts;
let session: Session;
beforeEach(() => {
  ports = fakePorts();
  session = createSession(ports);
});

const open = (name = 'lantern_road.wav', text = 'one'): Promise<void> =>
  session.openFile(recordingFile(name, 13, text));
const command = (id: string): void | Promise<void> => session.commands.find((each) => each.id === id)!.run(session);

describe('the way through the first song', () => {
  it('ticks each step when the user has done it, in any order', async () => {
    expect(session.guide.value).toBeUndefined();
    await open();
    await until(() => session.guide.value !== undefined);
    const before = session.guide.value!.done;
    expect(before).toContain('load');
    expect(before).not.toContain('chart');
    expect(before).not.toContain('play');
    await command('show-chart');
    expect(session.guide.value!.done).toContain('chart');
    // Ticked once, ticked for good.
    await command('show-play');
    expect(session.guide.value!.done).toContain('chart');
    expect(session.guide.value!.done).not.toContain('play');
    await session.play();
    expect(session.guide.value!.done).toContain('play');
  });

  it('takes a lock for a decided doubt, and a song without doubts for decided', async () => {
    await open();
    const map = session.song.value!.map;
    const quiet = { workspace: 'map', playing: false };
    const doubtful = { ...map, doubts: [{ kind: 'bar', time: 1, weight: 1, keep: [], other: [] }] } as never;
    expect(stepsSeen({ ...map, doubts: [] }, quiet)).toContain('doubts');
    expect(stepsSeen(doubtful, quiet)).not.toContain('doubts');
    const locked = addLocks(doubtful, [{ kind: 'downbeat', time: 1 }]);
    expect(stepsSeen(locked, quiet)).toContain('doubts');
  });

  it('is there with the first song only', async () => {
    await open();
    await until(() => session.guide.value !== undefined);
    await open('mill_pond.wav', 'two');
    expect(session.guide.value).toBeUndefined();
    const first = session.songs.value.find(({ title }) => /lantern/i.test(title))!;
    await session.openSong(first.id);
    expect(session.guide.value).toBeDefined();
  });

  it('does not come to whoever has songs already', async () => {
    await open();
    session.closeSong();
    await until(() => session.song.value === undefined);
    const later = createSession({ ...fakePorts(ports.storage) });
    await until(() => later.songs.value.length === 1);
    await later.openFile(recordingFile('mill_pond.wav', 17, 'two'));
    await until(() => later.settings.value.guide.closed);
    expect(later.guide.value).toBeUndefined();
  });

  it('never comes back once closed', async () => {
    await open();
    await until(() => session.guide.value !== undefined);
    session.closeGuide();
    expect(session.guide.value).toBeUndefined();
    await command('show-chart');
    expect(session.guide.value).toBeUndefined();
    expect(session.settings.value.guide.closed).toBe(true);
    expect(readGuide(JSON.parse(JSON.stringify(session.settings.value.guide))).closed).toBe(true);
  });

  it('is over when every step is done and the song is left', async () => {
    await open();
    await until(() => session.guide.value !== undefined);
    const kept = session.settings.value.guide;
    session.settings.value = { ...session.settings.value, guide: { ...kept, done: GUIDE_STEPS } };
    expect(session.guide.value!.left).toEqual([]);
    session.closeSong();
    await until(() => session.settings.value.guide.closed);
  });

  it('reads what makes no sense as nothing kept', () => {
    expect(readGuide('x')).toEqual({ done: [], closed: false });
    expect(readGuide({ done: ['chart', 'nonsense', 'load'], closed: 1, song: 3 })).toEqual({
      done: ['load', 'chart'],
      closed: false,
    });
  });
});
