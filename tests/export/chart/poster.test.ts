import fc from 'fast-check';
import { expect, it } from 'vitest';
import { layOutPoster } from '../../../src/export/chart/poster.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { mapArbitrary } from '../../support/arbitraries.js';
import { faultsOf } from '../../support/chart-boxes.js';
import { bars } from '../../support/notation.js';
import { runs } from '../../support/runs.js';

it('draws every bar as long as it sounds, in rows of equal time', () => {
  const map = bars('- Verse: (1) 4 4 2 4 | Chorus: 4 4 4 3 4 4 4 4 -4', { beat: 0.5 });
  const { pages, width } = layOutPoster(map, { paper: 'a4' });
  const rules = pages[0]!.marks.filter((mark) => mark.kind === 'line' && mark.barLine === true);
  const xs = [...new Set(rules.map((mark) => (mark.kind === 'line' ? Math.round(mark.x1 * 1000) / 1000 : 0)))];
  // All 22.5 s lie in rows of 10 s: from the first bar line on, seconds become points by one factor.
  const perSecond = (width - 110) / 10;
  for (const { start } of barsOf(map)) {
    const x = 70 + (start % 10) * perSecond;
    expect(
      xs.some((each) => Math.abs(each - x) < 0.01),
      `bar at ${start}`,
    ).toBe(true);
  }
  const texts = pages[0]!.marks.flatMap((mark) => (mark.kind === 'text' ? [mark.text] : []));
  expect(texts.filter((text) => text === 'Chorus').length).toBe(2);
});

it('lets nothing overlap and nothing leave the paper', () => {
  const names = ['Verse', '<b>', 'x'.repeat(2000), '🎸'.repeat(30)];
  fc.assert(
    fc.property(mapArbitrary(), fc.constantFrom(...names), fc.constantFrom('a4', 'letter'), (map, name, paper) => {
      const named = { ...map, title: name, sections: map.sections.map((section) => ({ ...section, name })) };
      const layout = layOutPoster(named, { paper });
      expect(faultsOf(layout.pages[0]!.marks, layout)).toEqual([]);
    }),
    { numRuns: runs(100) },
  );
});
