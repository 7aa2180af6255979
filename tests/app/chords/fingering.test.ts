import { beforeEach, describe, expect, it } from 'vitest';
import { setChords } from '../../../src/model/edits/chords.js';
import { songShape } from '../../../src/model/song-shapes.js';
import { shapeText } from '../../../src/music/shapes.js';
import { pickShape, putCapo, takeKey } from '../../../src/app/chords/fingering-actions.js';
import { ALL_COMMANDS } from '../../../src/app/shell/all-commands.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import { instrumentOf } from '../../../src/app/song/practice-state.js';
import type { Session } from '../../../src/app/kit/session.js';
import { readSettings } from '../../../src/app/kit/settings.js';
import { fakePorts, recordingFile } from '../../support/fakes.js';

let session: Session;
const fingered = () => session.song.value!.map.fingered;

beforeEach(async () => {
  session = createSession(fakePorts());
  await session.openFile(recordingFile('lantern_road.wav', 31));
  await session.edit('chords', (now) => setChords({ ...now, chords: [] }, 0, [{ beat: 0, harte: 'G' }]));
});

describe('how a song is fingered', () => {
  it('is an edit: a capo is put on, its view changed, all of it taken back', async () => {
    await putCapo(session, 3);
    expect(fingered()).toEqual({ capo: 3 });
    const view = ALL_COMMANDS.find(({ id }) => id === 'capo-view')!;
    await view.run(session);
    expect(fingered()).toEqual({ capo: 3, sounding: true });
    await view.run(session);
    await session.undo();
    await session.undo();
    await session.undo();
    expect(fingered()).toBeUndefined();
    expect(view.allowed(session)).toBe(false);
  });

  it('in another key offers to move the recording there too', async () => {
    await putCapo(session, 3);
    await takeKey(session, 0, -2);
    expect(fingered()).toEqual({ transpose: -2 });
    expect(session.song.value?.undoLabel).toBe('played 2 semitones down, no capo');
    expect(session.notice.value?.action?.label).toBe('Play it 2 semitones down');
    await session.notice.value!.action!.run();
    expect(session.practice.value.transpose).toBe(-2);
    await takeKey(session, 0, 0);
    expect(session.notice.value?.action?.label).toBe('Play it in its own key');
  });

  it('keeps the shape that was picked, on this instrument', async () => {
    const uke = instrumentOf(session.settings.value);
    const second = songShape(session.song.value!.map, 'G', uke).choices[1]!;
    await pickShape(session, uke, 'G', second);
    expect(songShape(session.song.value!.map, 'G', uke)).toMatchObject({ shape: second, chosen: true });
    expect(session.song.value?.undoLabel).toBe(`shape of G: ${shapeText(second)}`);
    await pickShape(session, uke, 'G', undefined);
    expect(fingered()).toBeUndefined();
  });
});

it('a left-handed view is kept among the settings', () => {
  expect(readSettings({ leftHanded: true }).leftHanded).toBe(true);
  expect(readSettings({ leftHanded: 'yes' }).leftHanded).toBe(false);
});
