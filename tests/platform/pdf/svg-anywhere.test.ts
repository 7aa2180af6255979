import { Resvg } from '@resvg/resvg-js';
import { describe, expect, it } from 'vitest';
import { pageSvg, type Outlines } from '../../../src/export/chart/chart-svg.js';
import { layOutChart, type ChartLayout } from '../../../src/export/chart/layout.js';
import { layOutPoster } from '../../../src/export/chart/poster.js';
import type { TextMark } from '../../../src/export/chart/marks.js';
import { DEFAULT_CHART } from '../../../src/model/chart-options.js';
import { outlinesFor } from '../../../src/platform/pdf/outlines.js';
import { faultsOf } from '../../support/chart-boxes.js';
import { bars } from '../../support/notation.js';

const song = bars(
  'Verse: 4:G 4:F#:min7,D/3@3 4:Ab:maj7(#11) 4:Bb 4:C:hdim7,G:7/3@2,A:min7@3,D:9@4 3:G | Chorus: 4:C 2:G 4:D:sus4 4:G',
  { title: 'Żółty wóz, Тихая гавань, Ήσυχη βραδιά' },
);
const named = {
  ...song,
  sections: song.sections.map((each) => ({ ...each, cue: 'zwrotka cicho, příliš žluťoučký, тихо, голосно' })),
};

/** The pixels that resvg draws of one text alone: it takes no faces from a style sheet, and here it has none of its own. */
function inkOf(layout: ChartLayout, text: TextMark, outlines: Outlines): { x: number; y: number }[] {
  const svg = pageSvg({ ...layout, pages: [{ marks: [text] }] }, 0, { outlines });
  const { pixels, width, height } = new Resvg(svg, { font: { loadSystemFonts: false }, dpi: 72 }).render();
  expect([width, height]).toEqual([Math.round(layout.width), Math.round(layout.height)]);
  const ink: { x: number; y: number }[] = [];
  for (let at = 0; at < width * height; at++)
    if ((pixels[4 * at] ?? 255) < 200) ink.push({ x: at % width, y: Math.floor(at / width) });
  return ink;
}

describe('a chart as SVG, where no typeface is known', () => {
  it.each([
    ['chart', layOutChart(named, { ...DEFAULT_CHART, folded: false })],
    ['poster', layOutPoster(named, DEFAULT_CHART)],
  ])('shows every text of the %s in the box it was laid out for, drawn by resvg', async (_, layout) => {
    const [{ marks } = { marks: [] }] = layout.pages;
    const texts = marks.filter((mark): mark is TextMark => mark.kind === 'text');
    expect(texts.length).toBeGreaterThan(20);
    const outlines = await outlinesFor(texts.map(({ text }) => text).join(' '));
    for (const mark of texts) {
      const ink = inkOf(layout, mark, outlines);
      if (/[\p{L}\p{N}]/u.test(mark.text)) expect(ink.length, mark.text).toBeGreaterThan(0);
      const { x, y, size, width } = mark;
      // A pixel for what lies in part of it, and accents on capitals, which reach higher than the letters.
      const astray = ink.filter(
        (dot) =>
          dot.x < Math.floor(x) - 1 ||
          dot.x > Math.ceil(x + width) + 1 ||
          dot.y < Math.floor(y - 1.05 * size) - 1 ||
          dot.y > Math.ceil(y + 0.32 * size) + 1,
      );
      expect(astray, mark.text).toEqual([]);
    }
    // And no box lies on another.
    expect(faultsOf(marks, layout)).toEqual([]);
  });
});
