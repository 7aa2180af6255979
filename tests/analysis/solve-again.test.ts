import { describe, expect, it } from 'vitest';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { firstMap, solveMap } from '../../src/analysis/solve.js';
import type { SongMap } from '../../src/model/song-map.js';
import { randomEdit } from '../bench/random-edits.js';
import { madeBeats, madeEvidence, seeded } from '../support/made-evidence.js';
import { runs } from '../support/runs.js';

const VERSE = [0, 1, 2, 3, 1, 0];
const REFRAIN = [4, 5, 4, 6, 5, 3];

/** A song of two verses, a refrain, a verse and a refrain, one bar short, its beats drifting a little. */
function madeSong(seed: number): Evidence {
  const chords = [...VERSE, ...VERSE, ...REFRAIN, ...VERSE, ...REFRAIN];
  const lengths = chords.map((_, bar) => (bar === 14 ? 2 : 4));
  const beats = madeBeats(lengths, (beat) => 0.5 + 0.02 * Math.sin(beat / 25));
  const last = beats[beats.length - 1]?.time ?? 0;
  const named = beats.map((beat) => ({ ...beat, chord: chords[beat.chord] as number }));
  return madeEvidence(named, { duration: last + 1.5, roots: 7, noise: 0.5, offBeats: 0.4, seed });
}

describe('solving again', () => {
  it('gives the map of a solve that remembers nothing, through random edits and undone ones', () => {
    let solves = 0;
    let refused = 0;
    for (let seed = 1; seed <= runs(1); seed++) {
      const made = madeSong(seed);
      const evidence = structuredClone(made);
      const { duration } = evidence;
      const recording = { fileName: 'a.wav', duration, sampleRate: 44100, channels: 1, contentId: '0' };
      const maps: SongMap[] = [firstMap(evidence, recording, 'Made')];
      const random = seeded(seed);
      for (let step = 0; step < 20; step++) {
        // Undo goes back to any earlier map.
        const map = maps[random() < 0.8 ? maps.length - 1 : Math.floor(maps.length * random())] as SongMap;
        const { name, edited } = randomEdit(map, random);
        const outcome = solveMap(evidence, edited);
        expect({ seed, step, name, outcome }).toEqual({
          seed,
          step,
          name,
          outcome: solveMap(structuredClone(made), edited),
        });
        if (outcome.ok) maps.push(outcome.map);
        if (outcome.ok) solves++;
        else refused++;
      }
    }
    expect(solves).toBeGreaterThan(10);
    expect(refused).toBeGreaterThan(0);
  });
});
