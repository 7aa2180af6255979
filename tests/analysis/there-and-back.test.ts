import { describe, expect, it } from 'vitest';
import { solveMap } from '../../src/analysis/solve.js';
import { shiftBarLines } from '../../src/model/edits/shift.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import type { BarIndex } from '../../src/music/units.js';
import { analysedSample } from '../support/sample-evidence.js';

const beatsIn = (map: SongMap): number[] => barsOf(map).flatMap((bar) => [...bar.beats]);

describe('bar lines moved a beat and back', async () => {
  const { evidence, map } = await analysedSample('kites-over-brennick.ogg');
  const shifted = (from: SongMap, bar: number, by: 1 | -1): SongMap => {
    const outcome = solveMap(evidence, shiftBarLines(from, bar as BarIndex, by));
    if (!outcome.ok) throw new Error('a conflict');
    return outcome.map;
  };

  it.each([20, 40])('lie exactly where they were, and so do the beats: bar %i', (bar) => {
    const there = shifted(map, bar, -1);
    const start = barsOf(map)[bar]?.start ?? NaN;
    const before = barsOf(map)[bar - 1]?.beats.at(-1);
    const moved = barsOf(there).findIndex((one) => one.start === before);
    expect(moved).toBeGreaterThan(0);
    const back = shifted(there, moved, 1);
    expect(beatsIn(back)).toEqual(beatsIn(map));
    expect(barsOf(back)[bar]?.start).toBe(start);
  });

  it('leave every beat in its place when they are moved', () => {
    expect(beatsIn(shifted(map, 40, 1))).toEqual(beatsIn(map));
  });
});
