import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import { median } from '../../src/dsp/series.js';
import type { Bar, LockDraft } from '../../src/model/song-map.js';
import { continuity, fMeasure } from '../bench/measures/beat.js';
import { madeBeats, madeEvidence } from '../support/made-evidence.js';
import { runs } from '../support/runs.js';

/** Milliseconds after which a test counts as hanging: the long run has a hundred songs. */
const LONGEST = runs(60_000);

interface Song {
  readonly bpm: number;
  /** Seconds before the first beat. */
  readonly first: number;
  /** How far, as a share, the tempo wanders. */
  readonly drift: number;
  /** Where the off-beats lie between the beats; 0.67 is full swing. */
  readonly swing: number;
}

const anySong: fc.Arbitrary<Song> = fc.record({
  bpm: fc.integer({ min: 40, max: 220 }),
  first: fc.double({ min: 0, max: 4, noNaN: true }),
  drift: fc.constantFrom(0, 0.02, 0.04),
  swing: fc.constantFrom(0.5, 0.58, 0.67),
});

/** Some 40 s of a drummer in 4/4, the beats as made and as solved. */
function solved({ bpm, first, drift, swing }: Song, locked = false) {
  const period = (beat: number): number => (60 / bpm) * (1 + drift * Math.sin(beat / 20));
  const made = madeBeats(Array<number>(Math.max(12, Math.round(bpm / 6))).fill(4), period, first);
  const duration = (made[made.length - 1]?.time ?? 0) + 60 / bpm + 2;
  const evidence = madeEvidence(made, { duration, offBeats: 0.4, swing, noise: 0.2 });
  const tempo: LockDraft = { kind: 'tempo', from: 0, to: duration, period: 60 / bpm };
  const outcome = solveRhythm(evidence, locked ? [{ ...tempo, id: 'L1' }] : []);
  if (!outcome.ok) throw new Error(`a conflict of ${outcome.conflict.join(', ')}`);
  const bars = outcome.spans.filter((span): span is Bar => span.kind === 'bar');
  const beats = bars.flatMap((bar) => bar.beats);
  return {
    truth: made.map(({ time }) => time),
    lines: made.filter(({ place }) => place === 0).map(({ time }) => time),
    beats,
    starts: bars.filter((bar) => !bar.pickup).map(({ start }) => start),
  };
}

function errors(beats: readonly number[], truth: readonly number[]): number[] {
  return truth.map((time) => Math.min(...beats.map((beat) => Math.abs(beat - time))));
}

describe('made songs of 40 to 220 beats a minute, steady or drifting, straight or swung, early or late', () => {
  it(
    'are counted at their own level or a simple one beside it',
    () => {
      fc.assert(
        fc.property(anySong, (song) => {
          const { truth, beats } = solved(song);
          // Half, twice, or on the off-beats, as mir_eval counts any level; and three to one where eighths swing.
          const triple = truth.flatMap((time, i) => {
            const next = truth[i + 1];
            return next === undefined ? [time] : [0, 1, 2].map((k) => time + ((next - time) * k) / 3);
          });
          expect(Math.max(continuity(truth, beats).amlt, fMeasure(triple, beats))).toBeGreaterThan(0.9);
        }),
        { numRuns: runs(5) },
      );
    },
    LONGEST,
  );

  it(
    'are right with one decision about the tempo: every beat and bar line, half of the beats within 5 ms',
    () => {
      fc.assert(
        fc.property(anySong, (song) => {
          const { truth, lines, beats, starts } = solved(song, true);
          expect(fMeasure(truth, beats)).toBeGreaterThan(0.97);
          expect(median(errors(beats, truth))).toBeLessThan(0.005);
          expect(fMeasure(lines, starts)).toBeGreaterThan(0.95);
        }),
        { numRuns: runs(5) },
      );
    },
    LONGEST,
  );
});
