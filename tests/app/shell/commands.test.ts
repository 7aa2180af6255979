import { beforeEach, describe, expect, it } from 'vitest';
import { barsOf, chordsInBar } from '../../../src/model/map-queries.js';
import { ALL_COMMANDS } from '../../../src/app/shell/all-commands.js';
import type { KeyBinding } from '../../../src/app/kit/command.js';
import type { Command } from '../../../src/app/kit/session.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { Session } from '../../../src/app/kit/session.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';

let ports: FakePorts;
let session: Session;
const bars = () => barsOf(session.song.value!.map);
const lengths = (): string =>
  bars()
    .map((bar) => bar.beats.length)
    .join(' ');
const starts = (): number[] => bars().map((bar) => bar.start);

/** Bars of 4 from 1 s on, two seconds each: bar number n starts at 2 n - 1. */
beforeEach(async () => {
  ports = fakePorts();
  session = createSession(ports);
  await session.openFile(recordingFile('lantern_road.wav', 31));
});

/** Runs the command that a key is bound to, as the page does: only when it is allowed. */
async function press(binding: KeyBinding): Promise<void> {
  const command = bound(binding).find((each) => each.allowed(session));
  if (!command) throw new Error(`no command allowed on ${JSON.stringify(binding)}`);
  await command.run(session);
}

function bound({ key, code, shift = false, mod = false }: KeyBinding): Command[] {
  return ALL_COMMANDS.filter(({ scope }) => scope !== 'play').filter((command) =>
    [...(command.key ? [command.key] : []), ...(command.otherKeys ?? [])].some(
      (each) =>
        each.key === key && each.code === code && (each.shift ?? false) === shift && (each.mod ?? false) === mod,
    ),
  );
}

describe('the commands', () => {
  it('have an id of their own and a label', () => {
    expect(ALL_COMMANDS.length).toBeGreaterThan(50);
    expect(new Set(ALL_COMMANDS.map(({ id }) => id)).size).toBe(ALL_COMMANDS.length);
    expect(ALL_COMMANDS.filter(({ label }) => label.trim() === '')).toEqual([]);
  });

  it('share no key, Escape aside, which ends whatever is under way', () => {
    // Pedals' keys mean something else elsewhere, by design.
    const keys = ALL_COMMANDS.filter(({ scope }) => scope !== 'play')
      .flatMap(({ key, otherKeys = [] }) => (key ? [key, ...otherKeys] : otherKeys))
      .filter(({ key }) => key !== 'Escape')
      .map((key) => JSON.stringify([key.key, key.code, key.shift ?? false, key.mod ?? false]));
    expect(keys.filter((key, i) => keys.indexOf(key) !== i)).toEqual([]);
  });

  it('leave the digit row and its symbols to the lengths of bars', () => {
    for (const { key, otherKeys = [] } of ALL_COMMANDS) {
      for (const binding of key ? [key, ...otherKeys] : otherKeys) {
        expect(binding.key ?? '').not.toMatch(/^[0-9!"§$%&/()=?]$/);
      }
    }
    for (let digit = 0; digit <= 9; digit += 1) {
      expect(bound({ code: `Digit${digit}` })).toHaveLength(1);
      expect(bound({ code: `Numpad${digit}` })).toHaveLength(1);
      expect(bound({ code: `Digit${digit}`, shift: true })).toHaveLength(1);
    }
  });

  it('can all be run on a song, or say that they cannot', async () => {
    for (const command of ALL_COMMANDS) {
      if (command.id === 'close-song') continue;
      if (command.allowed(session)) {
        const run = command.run(session);
        ports.clock.pass(700);
        await run;
      }
      session.view.prompt.value?.cancel();
    }
    expect(session.song.value).toBeDefined();
  });

  it('ask for a song before they do anything to one', async () => {
    session.closeSong();
    const free = ALL_COMMANDS.filter((command) => command.allowed(session)).map(({ id }) => id);
    expect(free).toEqual(['open-file', 'back-up', 'restore-backup', 'click-on', 'count-in', 'help-page', 'help']);
  });
});

describe('moving', () => {
  it.each<[KeyBinding, number, number]>([
    [{ key: 'ArrowRight' }, 5, 5.5],
    [{ key: 'ArrowRight' }, 5.2, 5.5],
    [{ key: 'ArrowLeft' }, 5, 4.5],
    [{ key: 'ArrowLeft' }, 5.2, 5],
    [{ key: 'PageDown' }, 5.2, 7],
    [{ key: 'PageUp' }, 5.2, 5],
    [{ key: 'PageUp' }, 5, 3],
    [{ key: 'PageUp' }, 1, 1],
    [{ key: 'Home' }, 9, 1],
    [{ key: 'End' }, 9, 29],
  ])('%j from %f s goes to %f s', async (key, from, to) => {
    session.view.cursor.value = from;
    await press(key);
    expect(session.view.cursor.value).toBe(to);
  });

  it('takes the sound along while it plays', async () => {
    await session.play(5);
    ports.player.place = 5.3;
    await press({ key: 'PageDown' });
    expect(ports.player.plays.at(-1)?.from).toBe(7);
  });

  it('selects by bars from the cursor, to both sides', async () => {
    session.view.cursor.value = 7.5;
    const seen: unknown[] = [];
    for (const key of ['ArrowRight', 'ArrowRight', 'ArrowRight', 'ArrowLeft', 'ArrowLeft', 'ArrowLeft', 'ArrowRight']) {
      await press({ key, shift: true });
      const { first, last } = session.view.selection.value!;
      seen.push(`${first}-${last}`);
    }
    expect(seen).toEqual(['3-3', '3-4', '3-5', '3-4', '3-3', '2-3', '3-3']);
    await press({ key: 'Escape' });
    expect(session.view.selection.value).toBeUndefined();
  });

  it('plays from the bar under the cursor with Enter, and plays and stops with space', async () => {
    session.view.cursor.value = 8.7;
    await press({ key: 'Enter' });
    expect(ports.player.plays.at(-1)?.from).toBe(7);
    await press({ key: ' ' });
    expect(session.playing.value).toBe(false);
    await press({ key: ' ' });
    expect(session.playing.value).toBe(true);
  });

  it('zooms around the cursor', async () => {
    session.view.window.value = { from: 0, span: 20 };
    session.view.cursor.value = 10;
    await press({ key: 'z' });
    expect(session.view.window.value).toEqual({ from: 10 - 6.25, span: 12.5 });
    for (let i = 0; i < 10; i += 1) await press({ key: 'z', shift: true });
    expect(session.view.window.value).toEqual({ from: 0, span: 31 });
  });
});

describe('correcting', () => {
  it('A starts a bar on this beat and takes it back', async () => {
    session.view.cursor.value = 6;
    await press({ key: 'a' });
    expect(starts()).toContain(6);
    expect(session.song.value?.undoLabel).toBe('a bar starts at bar 3 beat 3');
    await press({ key: 'a' });
    expect(starts()).not.toContain(6);
  });

  it('I puts a beat half-way to the next, Delete takes one out', async () => {
    session.view.cursor.value = 5;
    await press({ key: 'i' });
    expect(bars().flatMap((bar) => bar.beats)).toContain(5.25);
    session.view.cursor.value = 9.6;
    await press({ key: 'Delete' });
    expect(bars().flatMap((bar) => bar.beats)).not.toContain(9.5);
  });

  it('a point and a comma move a beat and the cursor with it', async () => {
    session.view.cursor.value = 5.5;
    await press({ key: '.' });
    await press({ key: '.' });
    expect(session.view.cursor.value).toBeCloseTo(5.52, 6);
    expect(bars()[2]?.beats[1]).toBeCloseTo(5.52, 6);
    await press({ key: ',' });
    expect(bars()[2]?.beats[1]).toBeCloseTo(5.51, 6);
  });

  it('U lifts the lock here', async () => {
    session.view.cursor.value = 6;
    await press({ key: 'a' });
    await press({ key: 'u' });
    expect(session.song.value?.map.locks).toEqual([]);
    expect(session.song.value?.undoLabel).toBe('lifted: bar 4 starts here');
    expect(lengths().startsWith('4 4 4 4')).toBe(true);
  });

  it('R makes the bar firm as it stands', async () => {
    session.view.cursor.value = 6;
    await press({ key: 'r' });
    expect(session.song.value?.map.locks).toMatchObject([{ kind: 'bar-length', time: 5 }]);
    expect(session.song.value?.undoLabel).toBe('bar 3 accepted');
  });

  it('half a beat more and less are exact', async () => {
    session.view.cursor.value = 5;
    await ALL_COMMANDS.find(({ id }) => id === 'bar-half-shorter')!.run(session);
    expect(bars()[2]?.meter).toMatchObject({ count: 7, unit: 8, beatUnits: 2 });
    expect(session.song.value?.undoLabel).toBe('bar 3: 3 1/2 beats');
  });

  it('Ctrl Z undoes, Ctrl shift Z and Ctrl Y do again', async () => {
    session.view.cursor.value = 6;
    await press({ key: 'a' });
    await press({ key: 'z', mod: true });
    expect(starts()).not.toContain(6);
    await press({ key: 'y', mod: true });
    expect(starts()).toContain(6);
    await press({ key: 'z', mod: true });
    await press({ key: 'z', mod: true, shift: true });
    expect(starts()).toContain(6);
  });
});

describe('what is typed', () => {
  const prompt = () => session.view.prompt.value!;

  it('N names the selected bars and offers trade names', async () => {
    session.view.selection.value = { first: 4, last: 7 };
    await press({ key: 'n' });
    expect(prompt()).toMatchObject({ kind: 'section-name', label: 'Name for bars 5 to 8', bar: 4 });
    expect(prompt().choices).toContain('Chorus');
    expect(prompt().check('  ')).toMatch(/Type a name/);
    await prompt().submit('Chorus');
    expect(session.view.prompt.value).toBeUndefined();
    expect(session.song.value?.map.sections.map(({ name, start }) => `${name} ${start}`)).toContain('Chorus 9');
  });

  it('N without a selection renames the section here', async () => {
    session.view.cursor.value = 5;
    await press({ key: 'n' });
    expect(prompt()).toMatchObject({ label: 'Another name for Verse', value: 'Verse' });
    await prompt().submit('Intro');
    expect(session.song.value?.map.sections[0]?.name).toBe('Intro');
  });

  it('C types chords into the bar and those after it', async () => {
    session.view.cursor.value = 5;
    await press({ key: 'c' });
    expect(prompt()).toMatchObject({ kind: 'chords', label: 'Chords of bar 3', value: '' });
    expect(prompt().check('G C D Em Am')).toMatch(/one for each of the 4 beats/);
    await prompt().submit('G C D Em Am');
    expect(session.view.prompt.value).toBeDefined();
    expect(prompt().check('G H7')).toBeUndefined();
    expect(prompt().note?.('G H7')).toMatch(/“H7” cannot be read as a chord; kept as typed/);
    await prompt().submit('G C | Am7');
    const typed = (bar: number): string =>
      chordsInBar(session.song.value!.map, bar)
        .map(({ chord, beat }) => `${chord.harte}@${beat}`)
        .join(' ');
    expect([typed(2), typed(3)]).toEqual(['G@0 C@2', 'A:min7@0']);
    await press({ key: 'c' });
    expect(prompt().value).toBe('G C');
  });

  it('M asks for the time signature and says what is wrong with one', async () => {
    await press({ key: 'm' });
    expect(prompt()).toMatchObject({ label: 'Time signature of the song', value: '4/4' });
    expect(prompt().check('4/5')).toMatch(/write it like 4\/4/);
    prompt().cancel();
    expect(session.view.prompt.value).toBeUndefined();
  });

  it('the title of the song', async () => {
    await ALL_COMMANDS.find(({ id }) => id === 'retitle')!.run(session);
    await prompt().submit('Lantern Lane');
    expect(session.song.value?.map.title).toBe('Lantern Lane');
  });
});
