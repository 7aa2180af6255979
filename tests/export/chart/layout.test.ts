import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findPasses } from '../../../src/analysis/passes/find-passes.js';
import { chartSong } from '../../../src/export/chart/chart-song.js';
import { layOutChart } from '../../../src/export/chart/layout.js';
import { setCue, LONGEST_CUE } from '../../../src/model/edits/chart.js';
import { setStrum } from '../../../src/model/edits/sections.js';
import { DEFAULT_CHART, type ChartOptions } from '../../../src/model/chart-options.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { notationArbitrary } from '../../support/arbitraries.js';
import { faultsOf } from '../../support/chart-boxes.js';
import { readChart, songOf } from '../../support/chart-notation.js';
import { bars } from '../../support/notation.js';
import { randomChart, seeded } from '../../support/random-charts.js';
import { runs } from '../../support/runs.js';

const HOSTILE = [
  '<script>alert("x")</script>',
  `it's "quoted" & <b>`,
  'اسم طويل جدا',
  '🎸'.repeat(40),
  'word '.repeat(200),
];

const options: fc.Arbitrary<ChartOptions> = fc.record({
  paper: fc.constantFrom('a4', 'letter'),
  landscape: fc.boolean(),
  columns: fc.constantFrom(1, 2),
  size: fc.constantFrom('small', 'normal', 'large', 'stage'),
  folded: fc.boolean(),
  jumps: fc.boolean(),
  barNumbers: fc.boolean(),
  slashes: fc.boolean(),
  strum: fc.boolean(),
  cues: fc.boolean(),
  notes: fc.boolean(),
  form: fc.boolean(),
  shapes: fc.boolean(),
  instrument: fc.constantFrom('ukulele', 'guitar', 'D A D G B E'),
} satisfies { [K in keyof ChartOptions]: fc.Arbitrary<ChartOptions[K]> });

/** Songs of the notation, longer and with names, lines and patterns of all kinds. */
const song: fc.Arbitrary<SongMap> = fc
  .record({
    parts: fc.array(notationArbitrary(), { minLength: 1, maxLength: 3 }),
    dense: fc.array(fc.constantFrom('4:Ab:maj7(#11)/3,F#:hdim7@2,C@3,D:min7/b7@4', '4:C', '2:E:7(b9)', '4:G,D@3'), {
      maxLength: 40,
    }),
    title: fc.constantFrom('Paper Lanterns', ...HOSTILE),
    name: fc.constantFrom('Verse', ...HOSTILE),
    cue: fc.constantFrom('', 'the first words of it', 'w'.repeat(LONGEST_CUE)),
    strokes: fc.constantFrom('', 'd-du-udu', 'D-DU-uDu'.repeat(8)),
    again: fc.integer({ min: 1, max: 3 }),
  })
  .map(({ parts, dense, title, name, cue, strokes, again }) => {
    const first = parts[0] ?? '4';
    const more = Array<string>(again).fill(`| Verse: ${['4:C', ...dense].join(' ')}`);
    const base = bars(`${first.replace(/ -3$/, '')} ${more.join(' ')}`, { title });
    const named = { ...base, sections: base.sections.map((s, i) => (i % 2 === 0 ? { ...s, name } : s)), tuning: -23 };
    const id = named.sections[0]!.id;
    const struck = strokes === '' ? named : setStrum(named, id, { parts: 2, strokes });
    return { ...setCue(struck, id, cue), key: { tonic: 'C', mode: 'major', confidence: 1 } };
  });

describe('the layout of a chart', () => {
  it('lets nothing overlap where songs fold into repeats, endings and jumps', () => {
    const signs = { repeats: 0, endings: 0, jumps: 0 };
    for (let seed = 1; seed <= runs(30); seed++) {
      const map = songOf(readChart(randomChart(seeded(seed))));
      const chosen = {
        ...DEFAULT_CHART,
        columns: (1 + (seed % 2)) as 1 | 2,
        size: (['normal', 'large', 'stage'] as const)[seed % 3]!,
      };
      for (const { repeatEnd, ending, after } of chartSong(map, chosen).bars) {
        if (repeatEnd) signs.repeats++;
        if (ending) signs.endings++;
        if (after.some((text) => /^D\.[CS]\./.test(text))) signs.jumps++;
      }
      const layout = layOutChart(map, chosen, findPasses(map));
      for (const { marks } of layout.pages) expect(faultsOf(marks, layout), `seed ${seed}`).toEqual([]);
    }
    expect(Math.min(...Object.values(signs))).toBeGreaterThan(5);
  });

  it('lets nothing overlap and nothing leave the paper, whatever the song and the options', () => {
    fc.assert(
      fc.property(song, options, (map, chosen) => {
        const layout = layOutChart(map, chosen, findPasses(map));
        for (const { marks } of layout.pages) expect(faultsOf(marks, layout)).toEqual([]);
      }),
      { numRuns: runs(60) },
    );
  });

  it('fits a song of usual length on one page, a song of 300 bars on as few as it takes, broken between sections', () => {
    const verse = '4:G 4:E:min 4:C 4:D 4:G 4:E:min 4:C,D@3 4:G';
    const short = bars(`Verse: ${verse} | Chorus: 4:C 4:D 4:G 2:D | Verse: ${verse} | Bridge: ${verse} 4:F`);
    const one = layOutChart(short, DEFAULT_CHART);
    expect(one.pages).toHaveLength(1);
    expect(one.size).toBeGreaterThan(14);
    const chords = ['C', 'A:min', 'F', 'G:7', 'D:min7'];
    const many = Array.from({ length: 30 }, (_, section) =>
      Array.from({ length: 10 }, (_, i) => `4:${chords[(i * section + i + section) % 5]}`).join(' '),
    );
    const long = layOutChart(bars(many.map((own, i) => `Part_${i + 1}x: ${own}`).join(' | ')), DEFAULT_CHART);
    expect(long.pages.length).toBeGreaterThan(1);
    for (const { marks } of long.pages.slice(1)) {
      const letters = marks.filter((mark) => mark.kind === 'text' && mark.group?.endsWith(' letter'));
      const bodies = marks.filter((mark) => mark.kind === 'line' && mark.barLine === true);
      const top = (mark: (typeof marks)[number]): number =>
        mark.kind === 'line' ? mark.y1 : mark.kind === 'text' ? mark.y : 0;
      // A page begins with a section's letter, above all bar lines.
      expect(Math.min(...letters.map(top))).toBeLessThan(Math.min(...bodies.map(top)));
    }
  });

  it('sets endings side by side in one row, and no sign or number smaller than is read', () => {
    const verse = '4:A:min 4:C 4:D 4:G';
    const long = Array.from({ length: 14 }, (_, i) => `Part_${i}x: 4:C 4:F 4:${i % 2 ? 'G' : 'E'} 3:D:7`).join(' | ');
    const map = bars(`Verse: 4:F 4:C ${verse} | Verse: 4:F 4:C 4:A:min 4:C 4:D 4:E | ${long}`);
    const { pages } = layOutChart(map, DEFAULT_CHART, findPasses(map));
    const texts = pages[0]!.marks.flatMap((mark) => (mark.kind === 'text' ? [mark] : []));
    const endings = texts.filter(({ group }) => / ending /.test(group ?? ''));
    expect(endings.map(({ text }) => text)).toEqual(['1.', '2.']);
    expect(endings[1]!.y).toBe(endings[0]!.y);
    const small = texts.filter(({ group }) => /number| sign | ending /.test(group ?? '')).map(({ size }) => size);
    expect(small.length).toBeGreaterThan(16);
    expect(Math.min(...small)).toBeGreaterThan(6);
  });

  it('keeps beats under one another and bars to scale', () => {
    const map = bars('Verse: 4:C 4:C 2:F 4:G 4:C 3:F 4:C 4:G | Chorus: 4:C 4:F 4:C 4:C', { prevailing: '4/4' });
    const { pages } = layOutChart(map, { ...DEFAULT_CHART, folded: false, shapes: false, form: false });
    const ticks = pages[0]!.marks.filter(
      (mark) => mark.kind === 'line' && mark.tone === 'faint' && mark.x1 === mark.x2,
    );
    const lines = pages[0]!.marks.filter((mark) => mark.kind === 'line' && mark.barLine === true);
    const xs = [...ticks, ...lines].map((mark) => (mark.kind === 'line' ? mark.x1 : 0));
    const zero = Math.min(...xs);
    const beat = Math.min(...ticks.map((mark) => (mark.kind === 'line' ? mark.x1 - zero : Infinity)));
    // Every tick and bar line lies a whole number of beats from the edge; only the light line of a double bar does not.
    const off = xs.filter((x) => Math.abs((x - zero) / beat - Math.round((x - zero) / beat)) > 1e-6);
    expect(ticks.length).toBe(3 * 10 + 1 + 2);
    expect(off.length).toBeLessThanOrEqual(2);
  });
});
