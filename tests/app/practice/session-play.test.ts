import { beforeEach, describe, expect, it } from 'vitest';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import { addArrangement } from '../../../src/model/edits/arrangements.js';
import { nameSection } from '../../../src/model/edits/sections.js';
import { itemOf } from '../../../src/model/play-order.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { placeAt } from '../../../src/music/timeline.js';
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

/** Bars of 4 from 1 s on, two seconds each: bar number n starts at 2 n - 1. */
beforeEach(async () => {
  ports = fakePorts();
  session = createSession(ports);
  await session.openFile(recordingFile('lantern_road.wav', 31));
});

describe('playing', () => {
  it('starts at the cursor and leaves the cursor on the beat that sounded', async () => {
    session.view.cursor.value = 5;
    await session.play();
    expect(ports.player.plays).toEqual([{ from: 5, until: 31 }]);
    ports.player.place = 7.7;
    session.stop();
    expect(session.playing.value).toBe(false);
    expect(session.view.cursor.value).toBe(7.5);
  });

  /** Recording times of the clicks on each beat 1 that the player has been given. */
  const ones = (): number[] => {
    const { soundings, pieces } = ports.player.plan!;
    return soundings.filter(({ sound }) => sound !== 'beat').map(({ at }) => round(placeAt(pieces, at)));
  };
  const round = (x: number) => Math.round(x * 1000) / 1000;

  it('gives the player the beats with an accent on each beat 1, and others while it plays after an edit', async () => {
    await session.play(1);
    expect(ports.player.plan!.soundings).toHaveLength(bars().reduce((sum, bar) => sum + bar.beats.length, 0));
    expect(ones().slice(0, 3)).toEqual([1, 3, 5]);
    await session.edit('bar 2: 2 beats', (map) => setBarBeats(map, 1, 2));
    expect(ones().slice(0, 3)).toEqual([1, 3, 4]);
  });

  it('plays stretches one after another, uncounted and outside a loop', async () => {
    session.settings.value = { ...session.settings.value, countInBars: 1 };
    session.practice.value = { ...session.practice.value, loop: { from: 3, until: 7 } };
    await session.playStretches([
      { from: 9, until: 11 },
      { from: 5, until: 7 },
    ]);
    const { pieces, counts } = ports.player.plan!;
    expect(pieces.map(({ from, until }) => [from, until])).toEqual([
      [9, 11],
      [5, 7],
    ]);
    expect(pieces[1]!.at - pieces[0]!.at).toBeCloseTo(2);
    expect(counts).toEqual([]);
  });

  it('goes on at another speed from where it is', async () => {
    await session.play(1);
    ports.player.now = 4;
    session.practice.value = { ...session.practice.value, speed: 0.5 };
    const { pieces } = ports.player.plan!;
    expect(pieces.map(({ rate }) => rate)).toEqual([1, 0.5]);
    expect(pieces[1]!.from).toBeCloseTo(pieces[0]!.until);
    expect(pieces[1]!.until).toBe(31);
  });

  it('counts in before a start but not on the way, and says what is counted', async () => {
    session.settings.value = { ...session.settings.value, countInBars: 1 };
    await session.play(3);
    expect(ports.player.plan!.counts.map(({ number }) => number)).toEqual([1, 2, 3, 4]);
    expect(session.counting()).toMatchObject({ number: 1, of: 4 });
    ports.player.now = 1.2;
    expect(session.counting()).toMatchObject({ number: 3 });
    ports.player.now = 2.1;
    expect(session.counting()).toBeUndefined();
    await session.play(9);
    expect(ports.player.plan!.counts).toEqual([]);
  });

  it('plays a loop again and again, planned ahead as time goes on, and a place outside it by itself', async () => {
    session.practice.value = { ...session.practice.value, loop: { from: 3, until: 7 } };
    session.view.cursor.value = 9;
    await session.play();
    const planned = ports.player.plan!.pieces.length;
    expect(ports.player.plan!.pieces.every(({ from, until }) => from === 3 && until === 7)).toBe(true);
    ports.player.now = 15;
    ports.clock.pass(1000);
    expect(ports.player.plan!.pieces.length).toBeGreaterThan(planned);
    await session.play(11);
    expect(ports.player.plan!.pieces).toMatchObject([{ from: 11, until: 31 }]);
  });

  it('plays an arrangement in its order, and says where it goes on', async () => {
    await session.edit('sections', (map) => nameSection(map, 4, 5, 'Tag'));
    await session.edit('arrangement', (map) => addArrangement(map, 'Turned round', [itemOf(map, 1)!, itemOf(map, 0)!]));
    session.practice.value = { ...session.practice.value, arrangement: 'R1' };
    session.view.cursor.value = 20;
    await session.play();
    const { pieces } = ports.player.plan!;
    expect(pieces.map(({ from }) => from)).toEqual([9, 1]);
    expect(session.jump()).toEqual({ until: pieces[0]!.until, from: 1 });
  });

  it('climbs a ladder of speeds', async () => {
    const ladder = { from: 0.5, to: 1, rounds: 3 };
    session.practice.value = { ...session.practice.value, loop: { from: 3, until: 7, ladder } };
    await session.play();
    expect(ports.player.plan!.pieces.slice(0, 4).map(({ rate }) => round(rate))).toEqual([0.5, 0.707, 1, 1]);
  });

  it('takes levels and tone from settings and practice, without the click when it is off, and keeps the settings', () => {
    session.settings.value = { ...session.settings.value, recordingLevel: 0.7, clickLevel: 0.2 };
    expect(ports.player.levels).toMatchObject({ recording: 0.7, click: 0.2 });
    session.settings.value = { ...session.settings.value, clickOn: false };
    expect(ports.player.levels).toMatchObject({ recording: 0.7, click: 0 });
    expect(ports.kept.settings).toMatchObject({ recordingLevel: 0.7, clickOn: false });
    session.practice.value = { ...session.practice.value, transpose: -2, cents: 30, sides: 'left' };
    expect(ports.player.tone).toEqual({ transpose: -1.7, sides: 'left' });
  });
});

describe('length keys', () => {
  it('act at rest on the bar under the cursor', async () => {
    session.view.cursor.value = 6.2;
    expect(session.lengthTarget()).toBe(2);
    await session.lengthKey(2, false);
    expect(lengths().startsWith('4 4 2 4')).toBe(true);
    expect(session.notice.value?.text).toMatch(/^Bar 3: 2 beats\. \d+ bars changed\.$/);
  });

  it.each([
    [7.2, 250, 2],
    [7.26, 250, 3],
    [7.2, 0, 3],
    [7.9, 1000, 2],
  ])('act while playing at %f s with a lag of %i ms on the bar that sounded then', async (place, keyLag, bar) => {
    session.settings.value = { ...session.settings.value, keyLag };
    await session.play(1);
    ports.player.place = place;
    expect(session.lengthTarget()).toBe(bar);
    await session.lengthKey(3, false);
    expect(bars()[bar]?.beats).toHaveLength(3);
  });

  it('act with shift on the bar before', async () => {
    await session.play(1);
    ports.player.place = 7.5;
    await session.lengthKey(2, true);
    expect(lengths().startsWith('4 4 2 4')).toBe(true);
  });

  it('make 10 to 12 of two digits within 0.6 s, for the bar meant by the first', async () => {
    await session.play(1);
    ports.player.place = 5.5;
    const first = session.lengthKey(1, false);
    ports.clock.pass(599);
    ports.player.place = 9.9;
    await Promise.all([first, session.lengthKey(2, false)]);
    expect(lengths().startsWith('4 4 12 4')).toBe(true);
    expect(session.song.value?.undoLabel).toBe('bar 3: 12 beats');
  });

  it('make a bar of 1 when no second digit comes in time', async () => {
    session.view.cursor.value = 3;
    const first = session.lengthKey(1, false);
    expect(lengths().startsWith('4 4 4')).toBe(true);
    ports.clock.pass(600);
    await first;
    expect(lengths().startsWith('4 1 4')).toBe(true);
    expect(session.song.value?.undoLabel).toBe('bar 2: 1 beat');
  });

  it('take a 1 and another digit that makes no number as two lengths', async () => {
    session.view.cursor.value = 3;
    const first = session.lengthKey(1, false);
    session.view.cursor.value = 7;
    await session.lengthKey(3, false);
    await first;
    expect(bars()[1]?.beats).toHaveLength(1);
    // The bar of 1 moved the lines behind it: 7 s lies now in the bar that starts at 5.5 s.
    expect(bars().find((bar) => bar.start === 5.5)?.beats).toHaveLength(3);
  });

  it('mean nothing for a single 0, and say so where no bar is', async () => {
    const { map } = session.song.value!;
    await session.lengthKey(0, false);
    expect(session.song.value?.map).toBe(map);
    session.view.cursor.value = 1;
    await session.lengthKey(3, true);
    expect(session.notice.value?.text).toMatch(/no bar here/);
    expect(session.song.value?.map).toBe(map);
  });
});

describe('doubts', () => {
  const doubt = () => session.song.value!.map.doubts[session.view.doubt.value!];

  it('are heard worst first, from one bar before, with the click on', async () => {
    session.settings.value = { ...session.settings.value, clickOn: false };
    expect(session.doubtsLeft.value).toBe(4);
    await session.nextDoubt(1);
    expect(doubt()).toMatchObject({ weight: 0.9, time: 29 });
    expect(ports.player.plays.at(-1)).toEqual({ from: 27, until: 30.5 });
    expect(ports.player.levels.click).toBeGreaterThan(0);
    expect(session.notice.value?.text).toBe('Bar 15: 3 beats or 2? (4 doubts left)');
    await session.nextDoubt(1);
    expect(doubt()).toMatchObject({ time: 25 });
    expect(ports.player.plays.at(-1)).toEqual({ from: 23, until: 29 });
    await session.nextDoubt(-1);
    expect(doubt()?.time).toBe(29);
  });

  it('can be heard in the other reading, which changes nothing; an edit gives the click back to what is shown', async () => {
    const heard = (): number[] => {
      const { soundings, pieces } = ports.player.plan!;
      return soundings
        .filter(({ sound }) => sound !== 'beat')
        .map(({ at }) => Math.round(10 * placeAt(pieces, at)) / 10);
    };
    await session.nextDoubt(1);
    await session.nextDoubt(1);
    const { map, undoLabel } = session.song.value!;
    expect(heard()).toEqual([23, 25, 27]);
    await session.hearDoubt(session.view.doubt.value!, 'other');
    expect(heard()).toEqual([23, 25, 26, 28]);
    expect(session.view.reading.value).toBe('other');
    expect(session.song.value).toMatchObject({ map, undoLabel });
    await session.edit('bar 12: 3 beats', (now) => setBarBeats(now, 11, 3));
    expect(heard()).toEqual([23, 24.5, 26.5, 28.5]);
    await session.hearDoubt(session.view.doubt.value ?? 0);
    expect(session.view.reading.value).toBe('keep');
  });

  it('are decided by a key, and the next one follows', async () => {
    await session.nextDoubt(1);
    await session.decideDoubt(session.view.doubt.value!, 'keep');
    expect(session.song.value?.undoLabel).toBe('bar 15 as shown');
    expect(session.doubtsLeft.value).toBe(3);
    expect(doubt()?.time).toBe(25);
    expect(session.notice.value?.text).toBe(
      'Bar 15 as shown. No other bar changed.\nBar 13: 4 beats or 2? (3 doubts left)',
    );
    expect(session.playing.value).toBe(true);
    await session.decideDoubt(session.view.doubt.value!, 'other');
    expect(bars()[12]?.beats).toHaveLength(2);
  });

  it('are fixed by a length key while they are heard, and the next one follows', async () => {
    await session.nextDoubt(1);
    await session.nextDoubt(1);
    expect(session.lengthTarget()).toBe(12);
    ports.player.place = 28;
    await session.lengthKey(3, false);
    expect(bars()[12]?.beats).toHaveLength(3);
    expect(doubt()).toBeDefined();
    expect(doubt()?.time).not.toBe(25);
  });

  it('end when the user goes elsewhere', async () => {
    await session.nextDoubt(1);
    session.view.cursor.value = 4;
    expect(session.view.doubt.value).toBeUndefined();
  });

  it('say that none is left after the last', async () => {
    for (let i = 0; i < 40 && session.doubtsLeft.value > 0; i += 1) {
      if (session.view.doubt.value === undefined) await session.nextDoubt(1);
      await session.decideDoubt(session.view.doubt.value!, 'keep');
    }
    expect(session.doubtsLeft.value).toBe(0);
    expect(session.view.doubt.value).toBeUndefined();
    expect(session.notice.value?.text).toMatch(/No doubt is left\.$/);
  });
});

describe('tapping', () => {
  it('starts to play, collects where the sound is, and makes one lock of it', async () => {
    session.view.cursor.value = 5;
    await session.tap(false);
    expect(session.tapping.value).toEqual({ beats: [], downbeats: [] });
    expect(ports.player.plays.at(-1)?.from).toBe(3);
    for (const place of [5.01, 5.5, 6.02, 6.49]) {
      ports.player.place = place;
      await session.tap(place === 5.01);
    }
    expect(session.tapping.value).toEqual({ beats: [5.01, 5.5, 6.02, 6.49], downbeats: [5.01] });
    const { map } = session.song.value!;
    await session.endTaps(true);
    expect(session.tapping.value).toBeUndefined();
    expect(session.playing.value).toBe(false);
    // The grid of this test knows no taps: what counts is what it was asked to solve around.
    expect(session.notice.value?.text).toMatch(/^4 beats tapped, 0:05 to 0:06: not done/);
    expect(session.song.value?.map).toBe(map);
  });

  it('drops the taps when asked to, and makes nothing of a single one', async () => {
    await session.play(1);
    ports.player.place = 5;
    await session.tap(false);
    await session.endTaps(false);
    expect(session.tapping.value).toBeUndefined();
    expect(session.notice.value?.text).toBe('The taps were dropped.');
    await session.tap(false);
    await session.endTaps(true);
    expect(session.notice.value?.text).toMatch(/tap at least twice/);
    expect(session.song.value?.undoLabel).toBeUndefined();
  });
});
