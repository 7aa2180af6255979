import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fold, type Folding } from '../../src/model/fold/fold.js';
import { unfold } from '../../src/model/fold/unfold.js';
import type { WrittenItem } from '../../src/model/fold/written-chart.js';
import { check } from '../../src/model/invariants.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { SAMPLES } from '../../src/app/library/samples.js';
import { mapArbitrary } from '../support/arbitraries.js';
import { lettered, readChart, songOf } from '../support/chart-notation.js';
import { bars } from '../support/notation.js';
import { linesOfMap, linesOfPlayed } from '../support/played.js';
import { randomChart, seeded } from '../support/random-charts.js';
import { runs } from '../support/runs.js';
import { analysedSample } from '../support/sample-evidence.js';

/** For the long run, milliseconds. */
const PATIENCE = 900_000;
const FOLDINGS: readonly Folding[] = ['across', 'plain', 'off'];

/** Songs of few sections that come again, each time perhaps changed: what folds, nearly folds, and must not. */
function songArbitrary(): fc.Arbitrary<SongMap> {
  const bar = fc.oneof(
    { weight: 8, arbitrary: fc.constantFrom('4:C', '4:G', '4:A:min', '4:F,G@3') },
    { weight: 2, arbitrary: fc.constantFrom('4', '4:F#', '4:Gb', '2:C', '7/8:G', '4:N', '3.5:C') },
  );
  const material = fc.array(fc.array(bar, { minLength: 1, maxLength: 6 }), { minLength: 1, maxLength: 4 });
  const change = fc.constantFrom('', '', '', '', 'drop', 'double', 'tag', 'halve', 'free', 'again', 'swing', 'merge');
  const visit = fc.record({ which: fc.nat(7), times: fc.constantFrom(1, 1, 1, 2, 3), change, at: fc.nat(20) });
  return fc
    .record({
      pickup: fc.constantFrom('', '', '(1):G ', '(2) '),
      material,
      visits: fc.array(visit, { minLength: 1, maxLength: 9 }),
      numbered: fc.boolean(),
    })
    .map(({ pickup, material: parts, visits, numbered }) => {
      const swings: number[] = [];
      let notation = '';
      visits.forEach(({ which, times, change: how, at }, i) => {
        const part = which % parts.length;
        const own = Array.from({ length: times }, () => parts[part] as string[]).flat();
        const place = at % own.length;
        if (how === 'drop' && own.length > 1) own.splice(place, 1);
        if (how === 'double') own.splice(place, 0, own[place] as string);
        if (how === 'tag') own.push('4:D', '2:D');
        if (how === 'halve') own[place] = '2:C';
        if (how === 'free') own.splice(place, 0, '~3');
        if (how === 'again') own.push(...own);
        if (how === 'swing') swings.push(i);
        const merged = how === 'merge' && i > 0;
        const name = `${['Verse', 'Chorus', 'Bridge', 'Solo'][part]}${numbered ? `_${i + 1}` : ''}`;
        // A free stretch cannot begin a section: the section's name stands before its first bar.
        const head = own[0] === '~3' ? `${own.shift()} | ${name}: ` : `| ${name}: `;
        if (merged) notation += ` ${own.join(' ')}`;
        else notation += ` ${head}${i === 0 && own[0] !== '~3' ? pickup : ''}${own.join(' ')}`;
      });
      const map = lettered(bars(notation.trim().replace(/^\| /, '')));
      const sections = map.sections.map((section, i) => (swings.includes(i) ? { ...section, swing: 2 } : section));
      return { ...map, sections };
    });
}

/** Checks that every folding of a map gives it back and that its chart says what it stands for. */
function checkFolds(map: SongMap): void {
  for (const folding of FOLDINGS) {
    const chart = fold(map, { folding });
    // As it is stored or sent: plain JSON.
    const played = unfold(JSON.parse(JSON.stringify(chart)) as typeof chart);
    expect(linesOfPlayed(played)).toEqual(linesOfMap(map));
    const whole = (item: WrittenItem): boolean => item.kind === 'bar' && !item.pickup;
    expect(chart.written).toBe(chart.items.filter(whole).length);
    expect(chart.played).toBe(barsOf(map).filter((bar) => !bar.pickup).length);
    const left = chart.items.map((item) => (item.kind === 'bar' ? [...item.bars] : []));
    const stood = played.flatMap(({ kind, item }) => (kind === 'bar' ? [left[item]?.shift()] : []));
    expect(stood).toEqual(barsOf(map).map((_, bar) => bar));
    expect(left.flat()).toEqual([]);
    const signs = chart.items.filter((item) => item.repeatStart || item.jump);
    if (folding === 'off') expect(signs).toEqual([]);
    if (folding !== 'plain') continue;
    // What every reader plays right: nothing of a jump at a repeat, two endings at most.
    for (const item of chart.items) {
      if (item.toCoda || item.fine || item.jump) expect([item.repeatEnd, item.ending]).toEqual([undefined, undefined]);
      expect(item.jump?.withRepeats).toBe(undefined);
      if (item.ending) expect([[1], [2]]).toContainEqual(item.ending.passes);
    }
  }
}

describe('fold, then unfold', () => {
  it('gives the bars, chords, lengths and sections of any map', { timeout: PATIENCE }, () => {
    fc.assert(fc.property(mapArbitrary(), checkFolds), { numRuns: runs(100) });
  });

  it('gives those of songs whose sections come again, changed or not', { timeout: PATIENCE }, () => {
    fc.assert(
      fc.property(songArbitrary(), (map) => {
        expect(check(map)).toEqual([]);
        checkFolds(map);
      }),
      { numRuns: runs(200) },
    );
  });

  it('gives those of songs that were written as charts', { timeout: PATIENCE }, () => {
    for (let seed = 1; seed <= runs(50); seed++) checkFolds(songOf(readChart(randomChart(seeded(seed)))));
  });

  it.each(SAMPLES.map(({ file }) => file))('gives those of %s', async (file) => {
    const { map } = await analysedSample(file);
    checkFolds(map);
  });
});
