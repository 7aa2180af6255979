import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeStrokes, latenessOf, worstBars } from '../../src/model/timing.js';
import type { Piece } from '../../src/music/timeline.js';
import { bars } from '../support/notation.js';

/** Half a second a beat. */
const map = bars('4 4 2 4');
const piece = (at: number, from: number, until: number, rate = 1): Piece => ({ at, from, until, rate });

describe('strokes against the beats', () => {
  it('are told by bar: how early or late, how much spread, and what fell beside', () => {
    // Bar 1 dead on, bar 2 40 ms late throughout, bar 3 early, and one tap between two beats of bar 4.
    const strokes = [0, 0.5, 1, 1.5, 2.04, 2.54, 3.04, 3.54, 3.95, 4.45, 5.25];
    const report = judgeStrokes(map, [piece(0, 0, 7)], strokes, 1)!;
    expect(report.bars.map(({ bar, mean, spread }) => [bar, Math.round(mean * 1e3), Math.round(spread * 1e3)])).toEqual(
      [
        [0, 0, 0],
        [1, 40, 0],
        [2, -50, 0],
      ],
    );
    expect([report.early, report.late, report.stray]).toEqual([2, 4, 1]);
    expect(report.mean).toBeCloseTo((4 * 0.04 - 2 * 0.05) / 10);
    expect(worstBars(report, 3).map(({ bar }) => bar)).toEqual([2, 1]);
  });

  it('are held against the timeline: slower, in a loop, the stroke before the start of a round included', () => {
    // Bars 2 and 3 at half speed, twice; each stroke 20 ms early as it is heard.
    const pieces = [piece(1, 2, 5, 0.5), piece(7, 2, 5, 0.5)];
    const strokes = [1, 2, 3, 4, 5, 6, 7, 8].map((at) => at - 0.02);
    const report = judgeStrokes(map, pieces, strokes, 1)!;
    expect(report.strokes.map(({ bar, beat }) => `${bar}.${beat}`)).toEqual([
      '1.0',
      '1.1',
      '1.2',
      '1.3',
      '2.0',
      '2.1',
      '1.0',
      '1.1',
    ]);
    for (const { off } of report.strokes) expect(off).toBeCloseTo(-0.02);
  });

  it('may be eighths, swung where the section is', () => {
    const swung = { ...map, sections: map.sections.map((section) => ({ ...section, swing: 2 })) };
    const report = judgeStrokes(swung, [piece(0, 0, 2)], [0, 1 / 3, 0.5, 0.5 + 1 / 3], 2)!;
    expect(report.strokes.map(({ beat }) => beat)).toEqual([0, 0.5, 1, 1.5]);
    for (const { off } of report.strokes) expect(off).toBeCloseTo(0);
  });

  it('count once where two fell on one beat, and not at all where none was played', () => {
    const report = judgeStrokes(map, [piece(0, 0, 2)], [0.01, 0.06, 0.5], 1)!;
    expect(report.strokes.map(({ off }) => Math.round(off * 1000))).toEqual([10, 0]);
    expect(judgeStrokes(map, [], [1], 1)).toBeUndefined();
    expect(judgeStrokes(map, [piece(0, 0, 2)], [], 1)).toBeUndefined();
  });
});

describe('a delay', () => {
  const clicks = Array.from({ length: 48 }, (_, i) => 0.5 + i * 0.6);

  it('is found from taps that waver and miss, whatever it is', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -100, max: 300 }),
        fc.array(fc.integer({ min: -15, max: 15 }), { minLength: 40, maxLength: 40 }),
        (delay, waver) => {
          const taps = clicks.slice(2, 42).flatMap((at, i) => (i % 11 === 5 ? [] : [at + (delay + waver[i]!) / 1000]));
          const found = latenessOf(clicks, taps)!;
          expect(Math.abs(found.late * 1000 - delay)).toBeLessThanOrEqual(15);
        },
      ),
    );
    const even = latenessOf(
      clicks,
      clicks.map((at) => at + 0.084),
    )!;
    expect([Math.round(even.late * 1000), Math.round(even.spread * 1000), even.taps]).toEqual([84, 0, 44]);
  });

  it('is not told from few taps, nor from taps all over the place', () => {
    expect(latenessOf(clicks, clicks.slice(0, 10))).toBeUndefined();
    expect(latenessOf(clicks, [])).toBeUndefined();
  });
});
