import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Evidence, Track } from '../../../src/analysis/evidence/evidence.js';
import { findPasses } from '../../../src/analysis/passes/find-passes.js';
import { chordAt } from '../../../src/model/map-queries.js';
import { passSentences } from '../../../src/model/pass-words.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { bassPitch, chordPitches, parseHarte } from '../../../src/music/chord.js';
import { sentence } from '../../../src/app/kit/sentences.js';
import { bars } from '../../support/notation.js';
import { runs } from '../../support/runs.js';
import { seeded } from '../../support/made-evidence.js';

const RATE = 10;

/** What would be heard of a map's chords, with seeded noise of so much of a note's strength. */
function heard(map: SongMap, noise: number, seed = 1): Evidence {
  const random = seeded(seed);
  const frames = Math.ceil(map.end * RATE) + 1;
  const chroma = new Uint8Array(frames * 12);
  const bass = new Uint8Array(frames * 12);
  for (let i = 0; i < frames; i++) {
    const chord = parseHarte(chordAt(map, i / RATE)?.harte ?? 'N');
    const notes = chord ? chordPitches(chord) : [];
    for (let k = 0; k < 12; k++) {
      chroma[i * 12 + k] = Math.min(255, (notes.includes(k) ? 200 : 0) + 200 * noise * random());
      bass[i * 12 + k] = Math.min(255, (chord && bassPitch(chord) === k ? 200 : 0) + 200 * noise * random());
    }
  }
  const track = (data: Uint8Array): Track => ({ rate: RATE, width: 12, data });
  const none: Track = { rate: 100, width: 1, data: new Uint8Array(0) };
  const tracks = { beat: none, downbeat: none, onset: none, level: none, timbre: none };
  return {
    version: 'test',
    duration: map.end,
    tuning: 0,
    tracks: { ...tracks, chroma: track(chroma), bass: track(bass) },
  };
}

/** What is said when all that is written are other chords than those heard. */
function said(notation: string, noise = 0.3, seed = 1): string[] {
  const map = bars(notation);
  const [table] = findPasses({ ...map, chords: [] }, heard(map, noise, seed));
  return table ? passSentences(map, table).map(({ words }) => `${sentence(words)}.`) : [];
}

const VERSE = '4:G 4:C 4:D 4:E:min 4:C 4:G 4:A:min 4:D';

describe('passes by what was heard', () => {
  it.each([
    ['another chord', VERSE.replace('4:E:min', '4:B'), ['Pass 2: bar 4 sounds different.']],
    ['a chord in half a bar', VERSE.replace('4:E:min', '4:E:min,F@3'), ['Pass 2: bar 4 sounds different.']],
    ['another key', '4:A 4:D 4:E 4:F#:min 4:D 4:A 4:B:min 4:E', ['Pass 2 is a tone higher.']],
    ['a bar left out', VERSE.replace('4:D ', ''), ['Pass 2 leaves out bar 3 of pass 1.']],
    ['nothing', VERSE, []],
  ])('say %s', (_, second, sentences) => {
    expect(said(`Verse: ${VERSE} | Tag: 4:F 4:Bb | Verse: ${second}`)).toEqual(sentences);
  });

  it('are compared whatever chords are suggested', () => {
    const map = bars(`Verse: ${VERSE} | Verse: ${VERSE}`);
    const wrong = bars(`Verse: ${VERSE} | Verse: ${VERSE.replace('4:E:min', '4:G')}`).chords;
    expect(findPasses({ ...map, chords: wrong }, heard(map, 0.3))[0]?.differences).toEqual([]);
  });

  it('invent nothing in noise, and find the one that differs in any bar', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 0, max: 7 }), (seed, bar) => {
        const other = VERSE.split(' ').map((chord, i) => (i === bar ? '4:Eb' : chord));
        const found = said(`Verse: ${VERSE} | Verse: ${VERSE} | Verse: ${other.join(' ')}`, 0.6, seed);
        expect(found).toEqual([`Pass 3: bar ${bar + 1} sounds different.`]);
      }),
      { numRuns: runs(25) },
    );
  });
});
