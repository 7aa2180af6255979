import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { setBarBeats, setMeter } from '../../src/model/edits/bars.js';
import { setEdge } from '../../src/model/edits/edge.js';
import { moveToRecording } from '../../src/model/edits/move-to-recording.js';
import { check, checkLocks } from '../../src/model/invariants.js';
import { holds } from '../../src/model/lock-holds.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { applyEdit, editArbitrary, mapArbitrary } from '../support/arbitraries.js';
import { bars, text } from '../support/notation.js';
import { runs } from '../support/runs.js';

const on = (map: SongMap, duration: number): SongMap['recording'] => ({
  ...map.recording,
  fileName: 'other.mp3',
  duration,
  contentId: 'f00d',
});

describe('moving a map to another file of the recording', () => {
  const song = bars('-2 Verse: 4:G 4:C 2 4 | Chorus: 4:D 4 4:G 4 -2');

  it('shifts bars, locks, sections and chords, and gives what is new to lead-in and tail', () => {
    const locked = setBarBeats(song, 2, 2);
    const moved = moveToRecording(locked, { offset: 3.25, speed: 1 }, on(song, song.recording.duration + 5));
    expect(text(moved)).toBe('-8.5 Verse: 4:G 4:C 2 4 | Chorus: 4:D 4 4:G 4 -5.5');
    expect(barsOf(moved)[2]?.start).toBe(barsOf(song)[2]!.start + 3.25);
    expect(moved.locks).toEqual([{ ...locked.locks[0], time: barsOf(song)[2]!.start + 3.25 }]);
    expect(moved.sections[1]?.start).toBe(song.sections[1]!.start + 3.25);
    expect([...check(moved), ...checkLocks(moved)]).toEqual([]);
  });

  it('leaves out what the other file does not have, with the locks and sections there', () => {
    const locked = setBarBeats(setBarBeats(song, 1, 4), 5, 4);
    const moved = moveToRecording(locked, { offset: -7, speed: 1 }, on(song, 9.5));
    expect(text(moved)).toBe('-2 Chorus: 4:D 4 4:G 4 -');
    expect(moved.locks).toHaveLength(1);
    expect([...check(moved), ...checkLocks(moved)]).toEqual([]);
    expect(() => moveToRecording(song, { offset: -60, speed: 1 }, on(song, 12))).toThrow(/Nothing of the song/);
  });

  it('takes along what was decided outside the map, where the other file has it too', () => {
    const { start } = barsOf(song)[4]!;
    const ended = setEdge(setMeter(song, start, song.end, { count: 3, unit: 4, beatUnits: 1 }), 'end', start - 1);
    expect(ended.locks.map(({ kind }) => kind)).toEqual(['meter', 'edge']);
    const later = moveToRecording(ended, { offset: 3, speed: 1 }, on(song, song.recording.duration + 3));
    expect(later.locks.map(({ kind }) => kind)).toEqual(['meter', 'edge']);
    const cut = moveToRecording(ended, { offset: 0, speed: 1 }, on(song, ended.end + 0.2));
    expect(cut.locks.map(({ kind }) => kind)).toEqual(['edge']);
  });

  it('takes a bar that begins with the recording for whole when the other file begins a little later', () => {
    const tight = bars('4 4 4');
    const moved = moveToRecording(tight, { offset: -0.03, speed: 1 }, on(tight, tight.recording.duration - 0.04));
    expect(barsOf(moved)).toHaveLength(3);
    expect(check(moved)).toEqual([]);
  });

  it('(random songs and edits) leaves a sound map whose locks hold, and back again it is as before', () => {
    let moves = 0;
    fc.assert(
      fc.property(
        mapArbitrary(),
        fc.array(editArbitrary(), { maxLength: 6 }),
        fc.double({ min: -1, max: 4, noNaN: true }),
        fc.double({ min: 0.99, max: 1.01, noNaN: true }),
        (first, edits, offset, speed) => {
          let map = first;
          for (const edit of edits) {
            const edited = applyEdit(map, edit);
            const locks = edited.locks.filter((lock) => holds(edited.spans, lock, edited.start, edited.end));
            if (check(edited).length === 0) map = { ...edited, locks };
          }
          // Something of it must be in the other file.
          if (barsOf(map).length === 0 || offset + speed * map.end < 0.01) return;
          moves++;
          const { duration } = map.recording;
          const moved = moveToRecording(map, { offset, speed }, on(map, duration * speed + Math.max(0, offset) + 1));
          expect([...check(moved), ...checkLocks(moved)]).toEqual([]);
          if (offset < 0) return;
          expect(moved.locks.length).toBe(map.locks.length);
          const back = moveToRecording(moved, { offset: -offset / speed, speed: 1 / speed }, map.recording);
          expect(barsOf(back).length).toBe(barsOf(map).length);
          barsOf(back).forEach((bar, i) => expect(bar.start).toBeCloseTo(barsOf(map)[i]!.start, 9));
          expect(back.sections.map(({ name }) => name)).toEqual(map.sections.map(({ name }) => name));
          const heard = (one: SongMap): string[] => one.chords.map(({ harte }) => harte);
          expect(heard(back)).toEqual(heard(map));
        },
      ),
      { numRuns: runs(150) },
    );
    expect(moves).toBeGreaterThan(100);
  });
});
