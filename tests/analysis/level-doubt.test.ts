import { describe, expect, it } from 'vitest';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import type { Lock } from '../../src/model/locks.js';
import type { Bar } from '../../src/model/song-map.js';
import { beatsOf } from '../../src/music/meter.js';
import { madeBeats, madeEvidence } from '../support/made-evidence.js';

/** Even strokes that could be counted at more than one tempo: only the harmony tells the bars. */
const beats = madeBeats(Array<number>(60).fill(4), 0.36);
const evidence = madeEvidence(beats, { duration: 89, plain: true });

function solved(locks: readonly Lock[]) {
  const outcome = solveRhythm(evidence, locks);
  if (!outcome.ok) throw new Error('a conflict');
  return outcome;
}

describe('doubts about the tempo', () => {
  const { doubts, spans } = solved([]);
  const levels = doubts.filter(({ kind }) => kind === 'level');

  it('come before all others, each on a bar line of its own', () => {
    expect(levels.length).toBeGreaterThan(0);
    expect(doubts.slice(0, levels.length)).toEqual(levels);
    const starts = spans.filter((span): span is Bar => span.kind === 'bar').map((bar) => bar.start);
    expect(levels.every(({ time }) => starts.includes(time))).toBe(true);
    expect(new Set(levels.map(({ time }) => time)).size).toBe(levels.length);
  });

  it('are settled by one answer: the whole song is counted so, and nothing is asked again', () => {
    for (const { other } of levels) {
      const [draft] = other;
      if (draft?.kind === 'meter') {
        const after = solved([{ ...draft, id: 'L1' }]);
        expect(after.prevailing).toEqual(draft.meter);
        continue;
      }
      if (draft?.kind !== 'tempo') throw new Error('neither a tempo nor a time signature is offered');
      const after = solved([{ ...draft, id: 'L1' }]);
      const times = after.spans.flatMap((span) => (span.kind === 'bar' ? span.beats : []));
      const gaps = times.slice(1).map((time, i) => time - (times[i] as number));
      gaps.sort((a, b) => a - b);
      expect((gaps[gaps.length >> 1] as number) / draft.period).toBeCloseTo(1, 1);
      expect(after.doubts.some(({ kind }) => kind === 'level')).toBe(false);
    }
  });
});

describe('doubts about the bars of the whole song', () => {
  // Kick and snare in turn; the chord changes every fourth beat in one half of the song, every second in the other.
  const beats = madeBeats(Array<number>(50).fill(4), 0.5).map((beat, i) => {
    return { ...beat, place: i % 2, chord: Math.floor(i / (Math.floor(i / 16) % 2 === 0 ? 4 : 2)) };
  });
  const evidence = madeEvidence(beats, { duration: 103 });

  it('offer the other number of beats at the same tempo, and one answer settles it', () => {
    const outcome = solveRhythm(evidence, []);
    if (!outcome.ok) throw new Error('a conflict');
    const drafts = outcome.doubts.flatMap(({ kind, other }) => (kind === 'level' ? other : []));
    const offered = drafts.filter((draft) => draft.kind === 'meter');
    expect(offered.length).toBe(1);
    for (const draft of offered) {
      expect(beatsOf(draft.meter)).not.toBe(beatsOf(outcome.prevailing));
      const after = solveRhythm(evidence, [{ ...draft, id: 'L1' }]);
      if (!after.ok) throw new Error('a conflict');
      expect(after.prevailing).toEqual(draft.meter);
      const bars = after.spans.filter((span): span is Bar => span.kind === 'bar');
      expect(bars.filter((bar) => beatsOf(bar.meter) === beatsOf(draft.meter)).length).toBeGreaterThan(bars.length - 3);
      expect(after.doubts.some(({ other }) => other[0]?.kind === 'meter')).toBe(false);
    }
  });
});
