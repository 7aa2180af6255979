import { describe, expect, it } from 'vitest';
import { addLocks } from '../../src/model/edits/add-locks.js';
import * as b from '../../src/model/edits/bars.js';
import { checkLocks } from '../../src/model/invariants.js';
import type { LockDraft } from '../../src/model/song-map.js';
import { COMMON_TIME, parseMeter } from '../../src/music/meter.js';
import { bars } from '../support/notation.js';
import { shownLocks } from '../support/shown-locks.js';

const map = bars('4 4 4 4');

describe('bars', () => {
  it('get so many beats, half beats too', () => {
    expect(shownLocks(b.setBarBeats(map, 1, 2))).toEqual(['bar-length 2: 2/4']);
    expect(shownLocks(b.setBarBeats(map, 1, 3.5))).toEqual(['bar-length 2: 7/8']);
    expect(shownLocks(b.setBarBeats(bars('6/8 6/8'), 0, 3))).toEqual(['bar-length 0: 9/8']);
  });

  it('that are a pickup keep "not beat 1" at their start, others do not', () => {
    const drafts: LockDraft[] = [{ kind: 'not-downbeat', time: 0 }];
    expect(shownLocks(b.setBarBeats(addLocks(bars('(1) 4'), drafts), 0, 1))).toEqual([
      'not-downbeat 0',
      'bar-length 0: 1/4',
    ]);
    expect(shownLocks(b.setBarBeats(addLocks(bars('1 4'), drafts), 0, 1))).toEqual(['bar-length 0: 1/4']);
  });

  it('take the prevailing measure with its grouping when they get its number of beats', () => {
    const song = bars('7/8(2+2+3) 4 7/8(2+2+3)', { prevailing: '7/8 (2+2+3)' });
    expect(b.setBarBeats(song, 1, 7).locks).toMatchObject([{ meter: { count: 7, unit: 8, grouping: [2, 2, 3] } }]);
  });

  it.each([0, -1, 1.25, 33, NaN, Infinity])('cannot have %s beats', (beats) => {
    expect(() => b.setBarBeats(map, 0, beats)).toThrow(/cannot have/);
  });

  it('that do not exist cannot be set', () => {
    expect(() => b.setBarBeats(map, 4, 3)).toThrow(/no such bar/);
    expect(() => b.lockBar(map, -1)).toThrow(/no such bar/);
  });

  it('start on a beat, or no longer do', () => {
    expect(shownLocks(b.toggleDownbeat(map, 2.5))).toEqual(['downbeat 2.5']);
    expect(shownLocks(b.toggleDownbeat(map, 2))).toEqual(['not-downbeat 2']);
    expect(shownLocks(b.toggleDownbeat(b.toggleDownbeat(map, 2), 2))).toEqual(['not-downbeat 2']);
    expect(shownLocks(b.toggleDownbeat(bars('(1) 4'), 0))).toEqual(['downbeat 0']);
  });

  it('are accepted as they stand, and then hold', () => {
    const song = [0, 1, 2].reduce(b.lockBar, bars('(1) 4 3.5'));
    expect(checkLocks(song)).toEqual([]);
    expect(song.locks.length).toBe(3);
    expect([b.isBarLocked(song, 1), b.isBarLocked(bars('4'), 0)]).toEqual([true, false]);
  });

  it('get a time signature from bar line to bar line, and over the whole map the song gets it', () => {
    const part = b.setMeter(map, 2.3, 3, parseMeter('3/4'));
    expect(shownLocks(part)).toEqual(['meter 2-4: 3/4']);
    expect(part.prevailing.count).toBe(4);
    const all = b.setMeter(bars('- 4 4 -'), 0.6, 4.4, parseMeter('3/4'));
    expect(shownLocks(all)).toEqual(['meter 0-5: 3/4']);
    expect(all.prevailing.count).toBe(3);
    expect(() => b.setMeter(map, 3, 3, COMMON_TIME)).toThrow(/no length/);
    expect(() => b.setMeter(map, 30, 40, COMMON_TIME)).toThrow(/outside the map/);
  });
});
