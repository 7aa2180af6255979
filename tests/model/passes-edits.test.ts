import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findPasses } from '../../src/analysis/passes/find-passes.js';
import { addBeat, moveBeat } from '../../src/model/edits/beats.js';
import { setBarBeats } from '../../src/model/edits/bars.js';
import { setChords } from '../../src/model/edits/chords.js';
import { heedDifference, ignoreDifference, makeSame } from '../../src/model/edits/passes.js';
import { check, checkLocks } from '../../src/model/invariants.js';
import { patchBetween, patched } from '../../src/model/map-patch.js';
import { barsOf, chordsInBar } from '../../src/model/map-queries.js';
import { isIgnored, type PassTable } from '../../src/model/pass-table.js';
import type { Section, SongMap } from '../../src/model/song-map.js';
import { readMap } from '../../src/project/read-map.js';
import { gridMap, gridSolve } from '../support/grid-solver.js';
import { bars, lengths } from '../support/notation.js';
import { runs } from '../support/runs.js';
import { flatEvidence } from '../support/songs.js';

const tableOf = (map: SongMap): PassTable => findPasses(map)[0] as PassTable;
const chordText = (map: SongMap, first: number, last: number): string =>
  barsOf(map)
    .map((_, bar) => chordsInBar(map, bar).map(({ chord }) => chord.harte + (chord.origin === 'user' ? '!' : '')))
    .slice(first, last + 1)
    .map((names) => names.join(','))
    .join(' ');

function same(
  map: SongMap,
  what: 'chords' | 'lengths',
  from: number,
  to: readonly number[],
  columns?: [number, number],
) {
  const table = tableOf(map);
  const [firstColumn, lastColumn] = columns ?? [0, table.columns.length - 1];
  return makeSame(map, { table, from, to, firstColumn, lastColumn, what });
}

describe('making chords the same', () => {
  const map = bars('Verse: 4:G 4:C 4:D 4:G | Verse: 4:G 4:A:min,F@3 4:D 4:G');

  it('copies them as typed ones, and nothing else', () => {
    const { map: next, changed, notes } = same(map, 'chords', 0, [1], [1, 1]);
    expect(chordText(next, 4, 7)).toBe('G C! D G');
    expect([changed, notes]).toEqual([1, []]);
    expect(next.locks).toEqual(map.locks);
    expect(check(next)).toEqual([]);
  });

  it('carries them to the key of the other pass', () => {
    const higher = bars('Verse: 4:G 4:C 4:D 4:E:min | Verse: 4:A 4:B:min 4:E 4:F#:min');
    expect(chordText(same(higher, 'chords', 0, [1], [1, 1]).map, 4, 7)).toBe('A D! E F#:min');
  });

  it('says what gave way and what found no place', () => {
    const typed = setChords(map, 5, [{ beat: 0, harte: 'E:min' }]);
    expect(same(typed, 'chords', 0, [1], [1, 1]).notes).toEqual([
      'In pass 2, chords that you had typed into a bar gave way.',
    ]);
    const short = bars('Verse: 4:G 4:C,F@4 4:D 4:G | Verse: 4:G 3:C 4:D 4:G');
    expect(same(short, 'chords', 0, [1], [1, 1]).notes).toEqual([
      'Bar 2 of pass 2 is shorter: the last of the chords found no place in it.',
    ]);
    const longer = bars('Verse: 4:G 4:C 4:D 4:G 4:A:min 4:F | Verse: 4:G 4:E:min 4:D 4:G');
    expect(same(longer, 'chords', 0, [1]).notes).toEqual(['Pass 2 has 2 bars less: set its bar lines by hand.']);
  });

  it('says so when there is nothing to copy', () => {
    const typed = bars('Verse: 4:G 4:C | Verse: 4:G 4:C');
    const done = same(typed, 'chords', 0, [1]).map;
    expect(() => same(done, 'chords', 0, [1])).toThrow(/same chords already/);
    expect(() =>
      makeSame(map, { table: tableOf(map), from: 9, to: [1], firstColumn: 0, lastColumn: 0, what: 'chords' }),
    ).toThrow(/choose another/);
  });

  it('leaves no chord that differs, whatever was there', () => {
    const chord = fc.constantFrom('C', 'G', 'F', 'A:min', 'E:min', 'D:min/b3', 'C,F@3', 'G,D@2,E:min@4');
    const pass = fc.array(chord, { minLength: 3, maxLength: 6 });
    fc.assert(
      fc.property(pass, fc.array(chord, { minLength: 6, maxLength: 6 }), (a, other) => {
        const b = other.slice(0, a.length);
        const song = bars([a, b, a].map((names) => `Verse: ${names.map((name) => `4:${name}`).join(' ')}`).join(' | '));
        const table = tableOf(song);
        const aligned = table.columns.every(({ bars: own }) => own.every((bar) => bar !== null));
        fc.pre(aligned && table.passes.every(({ shift }) => shift === 0));
        let next = song;
        try {
          next = makeSame(song, {
            table,
            from: 1,
            to: [0, 2],
            firstColumn: 0,
            lastColumn: a.length - 1,
            what: 'chords',
          }).map;
        } catch (error) {
          expect(String(error)).toMatch(/already/);
        }
        expect(check(next)).toEqual([]);
        expect(tableOf(next).differences).toEqual([]);
      }),
      { numRuns: runs(30) },
    );
  });
});

describe('making lengths the same', () => {
  const evidence = flatEvidence(40);
  const recording = { fileName: 'a.wav', duration: 40, sampleRate: 44100, channels: 2, contentId: 'c0ffee' };
  const solved = (map: SongMap): SongMap => {
    const outcome = gridSolve(evidence, map);
    if (!outcome.ok) throw new Error(`a conflict of ${outcome.conflict.join(' ')}`);
    return outcome.map;
  };
  /** Two passes of four bars; the second has 3 beats and then 5 in the middle. */
  const uneven = (): SongMap => {
    const plain = gridMap(evidence, recording, 'Lantern Road');
    const cut = solved(setBarBeats(plain, 5, 3));
    const made = solved(setBarBeats(cut, 6, 5));
    const starts = [0, 4, 8].map((bar) => barsOf(made)[bar]?.start ?? NaN);
    const sections = starts.map((start, i): Section => {
      return {
        id: `S${i + 1}`,
        name: i < 2 ? 'Verse' : 'Tag',
        letter: i < 2 ? 'A' : 'B',
        start,
        anchor: start,
        origin: 'user',
      };
    });
    return { ...made, sections };
  };

  it('locks each bar where it then begins, and leaves no difference', () => {
    const map = uneven();
    expect(lengths(map).slice(0, 15)).toBe('4 4 4 4 4 3 5 4');
    const { map: next, changed, notes } = same(map, 'lengths', 0, [1]);
    expect(changed).toBe(2);
    expect(notes).toEqual(
      [6, 7].map((bar) => `You had set that bar ${bar} has ${bar === 6 ? 3 : 5} beats: that gave way.`),
    );
    const now = solved(next);
    expect(checkLocks(now)).toEqual([]);
    expect(lengths(now).slice(0, 15)).toBe('4 4 4 4 4 4 4 4');
    expect(findPasses(now)[0]?.differences.filter(({ kind }) => kind === 'length')).toEqual([]);
  });

  it('copies the odd bars to where none are as well', () => {
    const next = solved(same(uneven(), 'lengths', 1, [0]).map);
    expect(lengths(next).slice(0, 15)).toBe('4 3 5 4 4 3 5 4');
  });

  it('leaves a bar that other locks hold, and says which', () => {
    const map = uneven();
    const line = barsOf(map)[5]?.start ?? NaN;
    const held: SongMap = { ...map, locks: [{ id: 'L9', kind: 'not-downbeat', time: line + 2 }] };
    const tapped: SongMap = {
      ...map,
      locks: [
        { id: 'L9', kind: 'tap', beats: [0, 1, 2, 3, 4].map((k) => line + k / 2), downbeats: [line, line + 1.5] },
      ],
    };
    expect(same(held, 'lengths', 0, [1]).changed).toBe(2);
    const outcome = same(tapped, 'lengths', 0, [1], [1, 3]);
    expect(outcome.notes[0]).toMatch(/^Bar 2 of pass 2 stays as it is: you have set that the 5 beats tapped/);
  });
});

describe('an ignored difference', () => {
  const map = bars('Verse: 4:G 4:C 4:D 4:G | Verse: 4:G 4:C 3:D 4:E:min');
  const [length, chord] = tableOf(map).differences;
  if (!length || !chord) throw new Error('two differences were expected');

  it('is silent by kind and place, until it is heeded', () => {
    const quiet = ignoreDifference(map, length);
    expect([length, chord].map((difference) => isIgnored(quiet, difference))).toEqual([true, false]);
    expect(ignoreDifference(quiet, length)).toBe(quiet);
    expect(heedDifference(quiet, length)).toEqual(map);
    expect(heedDifference(quiet, length)).not.toHaveProperty('ignored');
    expect(heedDifference(quiet, chord)).toBe(quiet);
  });

  it('stays silent when beats move a little, and speaks where its place is gone', () => {
    const quiet = ignoreDifference(map, length);
    const { kind, time } = length;
    expect(isIgnored(moveBeat(quiet, time, time + 0.1), { kind, time: time + 0.1 })).toBe(true);
    expect(isIgnored(addBeat(quiet, time + 0.25), { kind, time: time + 0.5 })).toBe(false);
  });

  it('is kept with the map: sound, written, read and patched', () => {
    const quiet = ignoreDifference(ignoreDifference(map, length), chord);
    expect(check(quiet)).toEqual([]);
    expect(readMap(JSON.parse(JSON.stringify(quiet)), 'map').ignored).toEqual(quiet.ignored);
    expect(patched(map, patchBetween(map, quiet))).toEqual(quiet);
    expect(patched(quiet, patchBetween(quiet, map))).toEqual(map);
    expect(check({ ...map, ignored: [{ kind: 'key', time: NaN }] })).toEqual(['an ignored key is at NaN']);
    const broken = { ...map, ignored: [{ kind: 'tempo', time: 1 }] };
    expect(() => readMap(JSON.parse(JSON.stringify(broken)), 'map')).toThrow(/ignored 1, kind must be one of length/);
  });
});
