import { beforeEach, describe, expect, it } from 'vitest';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import { nameSection } from '../../../src/model/edits/sections.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { ALL_COMMANDS } from '../../../src/app/shell/all-commands.js';
import { createSession } from '../../../src/app/shell/create-session.js';
import type { Session } from '../../../src/app/kit/session.js';
import { DELAY_PLAN } from '../../../src/app/practice/timing-state.js';
import { fakePorts, recordingFile, type FakePorts } from '../../support/fakes.js';

let ports: FakePorts;
let session: Session;

/** Bars of 4 from 1 s on, two seconds each: bar number n starts at 2 n - 1. */
beforeEach(async () => {
  ports = fakePorts();
  session = createSession(ports);
  await session.openFile(recordingFile('lantern_road.wav', 31));
});

const run = async (id: string): Promise<void> => void (await ALL_COMMANDS.find((each) => each.id === id)!.run(session));
const set = (change: Partial<Session['settings']['value']>): void => {
  session.settings.value = { ...session.settings.value, ...change };
};
const loop = (from: number, until: number, more = {}): void => {
  session.practice.value = { ...session.practice.value, loop: { from, until, ...more } };
};
const planned = (): string[] => ports.player.plan!.pieces.map(({ from, until }) => `${from}-${until}`);

describe('hands free', () => {
  it('again: from the start of the loop, or of the section, counted in', async () => {
    await session.edit('sections', (map) => nameSection(map, 4, 7, 'Chorus'));
    set({ countInBars: 1 });
    session.view.cursor.value = 13;
    await run('again');
    expect(ports.player.plays.at(-1)!.from).toBe(9);
    loop(3, 7);
    await session.play();
    ports.player.place = 6;
    await run('again');
    expect(ports.player.plays.at(-1)!.from).toBe(3);
    expect(ports.player.plan!.counts).toHaveLength(4);
  });

  it('go on: to the next section at once, or to the bars after the loop when its round is over', async () => {
    await session.edit('sections', (map) => nameSection(map, 4, 7, 'Chorus'));
    await session.play(3);
    ports.player.place = 4;
    await run('go-on');
    expect(ports.player.plays.at(-1)!.from).toBe(9);
    loop(3, 7);
    session.view.cursor.value = 3;
    session.stop();
    session.view.cursor.value = 3;
    await session.play();
    ports.player.now = 1;
    await run('go-on');
    expect(session.practice.value.loop).toMatchObject({ from: 7, until: 11 });
    const places = planned();
    // The round under way is heard out first.
    expect(places.slice(0, 3).map((place) => place.split('-')[1])).toEqual([expect.anything(), '7', '11']);
    expect(places[2]).toBe('7-11');
  });

  it('does with the pedals what is set', async () => {
    await run('pedal-on');
    expect(session.playing.value).toBe(true);
    set({ pedalOn: 'play', pedalBack: 'bar on' });
    await run('pedal-on');
    expect(session.playing.value).toBe(false);
    session.view.cursor.value = 3;
    await run('pedal-back');
    expect(session.view.cursor.value).toBe(5);
    set({ pedalBack: 'nothing' });
    await run('pedal-back');
    expect(session.view.cursor.value).toBe(5);
  });
});

describe('a loop', () => {
  it('of two passes plays them in turn, a ladder one step for both', async () => {
    loop(3, 7, { other: { from: 11, until: 15 }, ladder: { from: 0.5, to: 1, rounds: 2 } });
    session.view.cursor.value = 3;
    await session.play();
    expect(planned().slice(0, 3)).toEqual(['3-7', '11-15', '3-7']);
    expect(ports.player.plan!.pieces.slice(0, 3).map(({ rate }) => rate)).toEqual([0.5, 0.5, 1]);
  });

  it('goes along when its bar lines are corrected', async () => {
    await session.edit('bar 1: 3 beats', (map) => setBarBeats(map, 0, 3));
    const [, second, third] = barsOf(session.song.value!.map);
    // As it was set before the line moved a little: half a beat is 0.25 s.
    loop(second!.start - 0.1, third!.start + 0.1);
    session.view.cursor.value = second!.start;
    await session.play();
    expect(planned()[1]).toBe(`${second!.start}-${third!.start}`);
  });

  it('is remembered once it was played, with the song it belongs to, and after a reload', async () => {
    loop(3, 7);
    expect(session.settings.value.loops).toEqual([]);
    await session.play();
    loop(9, 11);
    loop(3, 7);
    expect(session.settings.value.loops.map(({ from }) => from)).toEqual([3, 9]);
    const again = createSession({
      ...ports,
      settings: { ...ports.settings, read: () => JSON.parse(JSON.stringify(ports.kept.settings)) as unknown },
    });
    expect(again.settings.value.loops).toMatchObject([
      { from: 3, until: 7 },
      { from: 9, until: 11 },
    ]);
    expect(again.settings.value.loops[0]!.recording).toBe(session.song.value!.map.recording.contentId);
  });
});

describe('sound', () => {
  it('of each kind can be muted and has its level back after', () => {
    expect(ports.player.levels.recording).toBeGreaterThan(0);
    set({ recordingOn: false, countOn: false, clickOn: false });
    expect(ports.player.levels).toMatchObject({ recording: 0, count: 0, click: 0 });
    set({ recordingOn: true });
    expect(ports.player.levels.recording).toBe(session.settings.value.recordingLevel);
  });

  it('of a level that changes while it plays plans nothing anew', async () => {
    await session.play(1);
    const { plan } = ports.player;
    set({ recordingLevel: 0.5, cautioned: true });
    expect(ports.player.plan).toBe(plan);
    set({ clickParts: 2 });
    expect(ports.player.plan).not.toBe(plan);
  });

  it('is spoken once the words are read', async () => {
    expect(ports.player.speech).toBeUndefined();
    set({ spokenCount: true });
    await expect.poll(() => ports.player.speech).toBeDefined();
  });
});

describe('a rest', () => {
  const minutes = (count: number): void => ports.clock.pass(count * 60_000);
  const said = (): string => session.notice.value?.text ?? '';

  it('is called to mind after long playing, short pauses not counting, and never once that is refused', async () => {
    set({ restAfter: 20 });
    await session.play(1);
    minutes(15);
    session.stop();
    minutes(2);
    await session.play(1);
    minutes(4);
    expect(said()).not.toMatch(/rest/);
    minutes(1);
    expect(said()).toMatch(/playing for 20 minutes.*rest/);
    await session.notice.value!.action!.run();
    expect(session.settings.value.restAfter).toBe(0);
    session.dismissNotice();
    minutes(100);
    expect(said()).toBe('');
  });

  it('is not called to mind of somebody who has rested', async () => {
    set({ restAfter: 20 });
    await session.play(1);
    minutes(15);
    session.stop();
    minutes(6);
    await session.play(1);
    minutes(15);
    expect(said()).not.toMatch(/rest/);
  });
});

describe('timing', () => {
  it('collects taps while it plays and judges them when it stops', async () => {
    session.view.cursor.value = 1;
    await session.timing.checkSong('taps', 1);
    const first = ports.player.plan!.pieces[0]!.at;
    for (let i = 0; i < 8; i++) {
      ports.player.now = first + i * 0.5 + 0.05;
      session.timing.stroke(30);
    }
    expect(session.timing.check.value).toMatchObject({ running: true, source: 'taps' });
    session.stop();
    const { report, running } = session.timing.check.value!;
    expect(running).toBe(false);
    expect(report!.strokes).toHaveLength(8);
    expect(report!.mean).toBeCloseTo(0.02);
  });

  it('listens only while it is asked to, and keeps nothing of what it heard', async () => {
    session.view.cursor.value = 1;
    await session.timing.checkSong('microphone', 1);
    ports.player.heard!(ports.player.plan!.pieces[0]!.at + 0.5);
    session.stop();
    expect(ports.player.heard).toBeUndefined();
    expect(session.timing.check.value!.report!.strokes).toHaveLength(1);
    session.closeSong();
    await expect.poll(() => session.timing.check.value).toBeUndefined();
  });

  it('lets go of a microphone that is given when it is no longer wanted', async () => {
    const { player } = ports;
    let allow = (): void => {};
    player.allowed = new Promise((resolve) => (allow = resolve));
    const twice = [session.timing.checkSong('microphone', 1), session.timing.measureDelay('microphone')];
    allow();
    await Promise.all(twice);
    expect(player.open).toBe(1);
    expect(session.timing.check.value).toMatchObject({ of: 'delay', running: true });
    session.stop();
    expect(player.open).toBe(0);
    player.allowed = new Promise((resolve) => (allow = resolve));
    const late = session.timing.checkSong('microphone', 1);
    session.closeSong();
    await expect.poll(() => session.song.value).toBeUndefined();
    allow();
    await late;
    expect(player.open).toBe(0);
    expect(session.timing.check.value).toBeUndefined();
  });

  it('measures how late taps come, and shifts what is seen by it', async () => {
    session.view.cursor.value = 5;
    await session.timing.measureDelay('taps');
    expect(ports.player.plan).toBe(DELAY_PLAN);
    expect(session.position()).toBe(5);
    for (const { at } of DELAY_PLAN.soundings.slice(0, 20)) {
      ports.player.now = at + 0.12;
      session.timing.stroke(0);
    }
    session.stop();
    expect(session.view.cursor.value).toBe(5);
    expect(session.timing.check.value!.lateness!.late).toBeCloseTo(0.12);
    session.timing.useDelay();
    expect(session.settings.value.soundDelay).toBe(120);
    expect(ports.player.delay).toBeCloseTo(0.12);
  });
});
