import { beforeEach, describe, expect, it } from 'vitest';
import { setChords } from '../../../src/model/edits/chords.js';
import { setFingering } from '../../../src/model/edits/fingering.js';
import { barsOf, chordsInBar } from '../../../src/model/map-queries.js';
import { ALL_COMMANDS } from '../../../src/app/shell/all-commands.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { Session } from '../../../src/app/kit/session.js';
import { fakePorts, recordingFile } from '../../support/fakes.js';

let session: Session;
const map = () => session.song.value!.map;
const run = async (id: string): Promise<void> => {
  const command = ALL_COMMANDS.find((each) => each.id === id)!;
  if (command.allowed(session)) await command.run(session);
};
const prompt = () => session.view.prompt.value!;
const typed = (bar: number): string =>
  chordsInBar(map(), bar)
    .map(({ chord, beat }) => `${chord.harte}@${beat}`)
    .join(' ');
const at = (bar: number, beat = 0): void => {
  session.view.cursor.value = barsOf(map())[bar]!.beats[beat]!;
};

/** Bars of 4 from 1 s on, two seconds each; G in the first, C and D in the second. */
beforeEach(async () => {
  session = createSession(fakePorts());
  await session.openFile(recordingFile('lantern_road.wav', 31));
  await session.edit('chords', (now) =>
    setChords(
      setChords({ ...now, chords: [] }, 1, [
        { beat: 0, harte: 'C' },
        { beat: 2, harte: 'D' },
      ]),
      0,
      [{ beat: 0, harte: 'G' }],
    ),
  );
});

describe('typing chords', () => {
  it('goes on with the next bar, over those that are written at once', async () => {
    at(2);
    await run('chords-type');
    await prompt().next!.submit('Em | Am');
    expect([typed(2), typed(3)]).toEqual(['E:min@0', 'A:min@0']);
    expect(prompt().label).toBe('Chords of bar 5');
    await prompt().next!.submit('F');
    expect(prompt().label).toBe('Chords of bar 6');
    expect(session.view.cursor.value).toBe(barsOf(map())[5]!.start);
    prompt().cancel();
    await session.undo();
    await session.undo();
    expect([typed(2), typed(3), typed(4)]).toEqual(['', '', '']);
  });

  it('leaves a bar as it is when nothing is typed', async () => {
    at(1);
    await run('chords-type');
    expect(prompt().value).toBe('C D');
    const label = session.song.value?.undoLabel;
    await prompt().next!.submit('C D');
    expect(session.song.value?.undoLabel).toBe(label);
    expect(prompt().label).toBe('Chords of bar 3');
  });

  it('keeps what cannot be read, and the song can still be stored and played', async () => {
    at(3);
    await run('chords-type');
    await prompt().submit('H7 Am');
    expect(typed(3)).toBe('H7@0 A:min@2');
    await run('chords-type');
    expect(prompt().value).toBe('H7 Am');
  });

  it('takes names as the map shows them, behind a capo', async () => {
    await session.edit('capo', (now) => setFingering(now, { capo: 2 }));
    at(1);
    await run('chords-type');
    expect(prompt().value).toBe('Bb C');
    await prompt().submit('G . Em C');
    expect(typed(1)).toBe('A@0 F#:min@2 D@3');
  });
});

describe('a chord is moved by keys', () => {
  it('a beat at a time, over the bar line, and the cursor goes along', async () => {
    at(1, 3);
    await run('chord-later');
    expect(typed(1)).toBe('C@0 D@3');
    await run('chord-later');
    expect([typed(1), typed(2)]).toEqual(['C@0', 'D@0']);
    await run('chord-earlier');
    expect(typed(1)).toBe('C@0 D@3');
    expect(session.view.cursor.value).toBe(barsOf(map())[1]!.beats[3]);
    await session.undo();
    expect(typed(2)).toBe('D@0');
  });

  it('and not past another one, which is said', async () => {
    at(1, 2);
    await run('chord-earlier');
    await run('chord-earlier');
    expect(typed(1)).toBe('C@0 D@1');
    expect(session.notice.value?.text).toMatch(/cannot move past another/);
  });
});

describe('chords are copied and pasted', () => {
  it('bar by bar, in one step', async () => {
    session.view.selection.value = { first: 0, last: 1 };
    await run('chords-copy');
    session.view.selection.value = undefined;
    at(4);
    await run('chords-paste');
    expect([typed(4), typed(5)]).toEqual(['G@0', 'C@0 D@2']);
    await session.undo();
    expect([typed(4), typed(5)]).toEqual(['', '']);
  });

  it('only once something is copied', () => {
    expect(ALL_COMMANDS.find(({ id }) => id === 'chords-paste')!.allowed(session)).toBe(false);
  });
});

describe('a chord is replaced', () => {
  it('everywhere, by what is typed', async () => {
    at(5);
    await session.edit('more', (now) => setChords(now, 5, [{ beat: 0, harte: 'C:maj' }]));
    await run('chords-replace-song');
    expect(prompt().label).toBe('C in the whole song becomes');
    expect(prompt().check('Am F')).toMatch(/Write one chord/);
    await prompt().submit('Am7');
    expect([typed(1), typed(5)]).toEqual(['A:min7@0 D@2', 'A:min7@0']);
    expect(session.notice.value?.text).toBe('2 places everywhere: now Am7.');
    await session.undo();
    expect(typed(1)).toBe('C@0 D@2');
  });

  it('in the section it is in', async () => {
    at(1);
    await run('chords-replace-section');
    const { name } = map().sections[0]!;
    expect(prompt().label).toMatch(new RegExp(`^C in ${name} \\(bars? 1 `));
    await prompt().submit('F');
    expect(typed(1)).toBe('F@0 D@2');
  });

  it('in all passes of the section, those without it left alone', async () => {
    at(1);
    await run('chords-replace-passes');
    await prompt().submit('F');
    expect(typed(1)).toBe('F@0 D@2');
    expect(session.notice.value?.text).toMatch(/^1 place in all passes of /);
  });
});

it('all chords move by semitones, with the key, and back', async () => {
  const { key } = map();
  await run('chords-song-up');
  expect([typed(0), typed(1)]).toEqual(['Ab@0', 'Db@0 Eb@2']);
  await run('chords-song-down');
  expect([typed(0), typed(1)]).toEqual(['G@0', 'C@0 D@2']);
  expect(map().key).toEqual(key);
});
