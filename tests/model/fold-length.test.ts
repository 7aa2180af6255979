import { describe, expect, it } from 'vitest';
import { fold } from '../../src/model/fold/fold.js';
import { readChart, songOf } from '../support/chart-notation.js';
import { randomChart, seeded } from '../support/random-charts.js';
import { runs } from '../support/runs.js';

describe('fold, given songs that were written as charts', () => {
  it('is at most a tenth longer than the chart, in 95 of 100 cases', { timeout: 900_000 }, () => {
    const cases = runs(200);
    const first = process.env.BARWRIGHT_LONG ? 1000 : 0;
    const longer: string[] = [];
    let lengths = 0;
    for (let seed = first + 1; seed <= first + cases; seed++) {
      const notation = randomChart(seeded(seed));
      const chart = readChart(notation);
      const { written, played } = fold(songOf(chart));
      expect(played).toBe(chart.played);
      lengths += written / chart.written;
      if (written > 1.1 * chart.written) longer.push(`${seed}: ${chart.written} became ${written}: ${notation}`);
    }
    const share = 1 - longer.length / cases;
    process.stdout.write(
      `${(100 * share).toFixed(1)} % of ${cases} charts came back at most a tenth longer; on average ${(lengths / cases).toFixed(3)} of their length\n`,
    );
    expect(share, longer.join('\n')).toBeGreaterThanOrEqual(0.95);
  });
});
