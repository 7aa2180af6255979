import { describe, expect, it } from 'vitest';
import { DEFAULT_CHART, readChartOptions } from '../../src/model/chart-options.js';
import { LONGEST_CUE, setChart, setCue } from '../../src/model/edits/chart.js';
import { splitSection } from '../../src/model/edits/sections.js';
import { readMap } from '../../src/project/read-map.js';
import { bars } from '../support/notation.js';

describe('the chart kept with a song', () => {
  const map = bars('Verse: 4:G 4:C | Chorus: 4:D 4:G');

  it('comes back from a project file with the lines of its sections', () => {
    const kept = setCue(setChart(map, { ...DEFAULT_CHART, columns: 2, size: 'stage' }), 'S2', ' Up  and away ');
    expect(kept.sections[1]!.cue).toBe('Up and away');
    expect(readMap(JSON.parse(JSON.stringify(kept)), 'map')).toEqual(kept);
  });

  it('takes its defaults where a file says what makes no sense', () => {
    const read = readMap(JSON.parse(JSON.stringify({ ...map, chart: { columns: 7, paper: 'letter' } })), 'map');
    expect(read.chart).toEqual({ ...DEFAULT_CHART, paper: 'letter' });
    expect(readChartOptions('nothing')).toEqual(DEFAULT_CHART);
  });

  it('loses a line when nothing is typed, and refuses one too long', () => {
    const cued = setCue(map, 'S1', 'first');
    expect('cue' in setCue(cued, 'S1', '  ').sections[0]!).toBe(false);
    expect(() => setCue(map, 'S1', 'x'.repeat(LONGEST_CUE + 1))).toThrow(/up to 200 characters/);
    expect(() => setCue(map, 'S9', 'x')).toThrow(/not on the map any more/);
  });

  it('keeps the line at the beginning when a section is split', () => {
    const split = splitSection(setCue(map, 'S1', 'first'), 1);
    expect(split.sections.map(({ cue }) => cue)).toEqual(['first', undefined, undefined]);
  });
});
