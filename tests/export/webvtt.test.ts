import fc from 'fast-check';
import { WebVTTParser } from 'webvtt-parser';
import { describe, expect, it } from 'vitest';
import { CUE_KINDS, toWebVtt, type CueKind } from '../../src/export/webvtt.js';
import { barEnd, barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { mapArbitrary } from '../support/arbitraries.js';
import { bars } from '../support/notation.js';
import { runs } from '../support/runs.js';

/** The cues as the parser of w3c/webvtt.js reads them, which has to find nothing wrong. */
function cues(map: SongMap, kind: CueKind): [number, number, string][] {
  const { cues: found, errors } = new WebVTTParser().parse(toWebVtt(map, kind), 'captions');
  expect(errors).toEqual([]);
  return found.map(({ startTime, endTime, text }) => [startTime, endTime, text]);
}

describe('WebVTT', () => {
  const map = bars('- Verse: (1) 4:G,C@3 4 | Chorus: 2:A:min7 -', { title: 'a --> b' });

  it('shows each chord until the next', () => {
    expect(cues(map, 'chords')).toEqual([
      [1, 2, 'G'],
      [2, 5, 'C'],
      [5, 6, 'Am7'],
    ]);
  });

  it('shows each bar with its chords', () => {
    expect(cues(map, 'bars')).toEqual([
      [0.5, 1, 'Verse, pickup'],
      [1, 3, 'Verse, bar 1: G  C'],
      [3, 5, 'Verse, bar 2: C'],
      [5, 6, 'Chorus, bar 3: Am7'],
    ]);
  });

  it('shows each section', () => {
    expect(cues(map, 'sections')).toEqual([
      [0.5, 5, 'Verse'],
      [5, 6, 'Chorus'],
    ]);
  });

  it('is sound for any map, each bar within half a millisecond', () => {
    fc.assert(
      fc.property(mapArbitrary(), (any) => {
        for (const kind of CUE_KINDS) cues(any, kind);
        const found = cues(any, 'bars');
        expect(found).toHaveLength(barsOf(any).length);
        found.forEach(([from, to], i) => {
          expect(Math.abs(from - barsOf(any)[i]!.start)).toBeLessThanOrEqual(0.000501);
          expect(Math.abs(to - barEnd(any, i))).toBeLessThanOrEqual(0.000501);
        });
      }),
      { numRuns: runs(40) },
    );
  });
});
