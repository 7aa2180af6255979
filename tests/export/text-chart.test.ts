import { describe, expect, it } from 'vitest';
import { barText, beatWidth, textBars } from '../../src/export/text/text-bars.js';
import { textChart } from '../../src/export/text/text-chart.js';
import { DEFAULT_CHART } from '../../src/model/chart-options.js';
import { fold } from '../../src/model/fold/fold.js';
import { leadSheetText } from '../../src/music/lead-sheet.js';
import type { SongMap } from '../../src/model/song-map.js';
import { lettered, readChart, songOf } from '../support/chart-notation.js';
import { bars } from '../support/notation.js';
import { randomChart, seeded } from '../support/random-charts.js';
import { runs } from '../support/runs.js';

const V = '4:G 4:D 4:E:min 4:C';
const C = '4:C 4:D 4:G 4:E:min 4:C 4:D 4:G 4:G';
const B = '4:A:min 4:B:min 4:C 4:D';
const chart = (song: string, change: Partial<SongMap> = {}): string[] =>
  textChart({ ...lettered(bars(song)), ...change })
    .trimEnd()
    .split('\n');

/** The bars of a line: what stands between its bar lines, signs of repeats taken off. */
function cells(line: string): string[] {
  return line
    .replace(/^.{4}\|/, '')
    .replace(/\|$/, '')
    .split('|')
    .map((cell) => cell.replace(/^[: ]/, '').replace(/[: ]$/, ''));
}

describe('a chart as plain text', () => {
  it('is written with repeats or without, as the chart of the song is', () => {
    const song = `Verse: ${V} | Verse: ${V}`;
    expect(chart(song).join('\n')).toContain('|:G');
    expect(chart(song, { chart: { ...DEFAULT_CHART, folded: false } }).join('\n')).not.toContain('|:');
  });

  it('says what a chart says', () => {
    const song = `Verse: ${V} | Verse: 4:G 4:D 4:E:min 4:E | Chorus: 3:A 4:D,A@3`;
    expect(chart(song, { key: { tonic: 'G', mode: 'major', confidence: 1 }, tuning: -12 })).toEqual([
      'Paper Lanterns',
      '120 bpm, 4/4, G major, recording 12 cents flat',
      '',
      'Verse',
      '                                                   1.',
      '1   |:G  .  .  .   | D  .  .  .   | Em .  .  .   | C  .  .  .  :|',
      '      2.',
      '8   | E  .  .  .   |',
      '',
      'Chorus',
      '      3/4         4/4',
      '9   | A  .  .   | D  .  A  .   |',
    ]);
  });

  it('draws bars to scale: those of one length are one width, half as many beats half as wide', () => {
    const line = chart(`A: 4:G 4:C 2:D 6:G`).at(-1) as string;
    const widths = cells(line).map((cell) => cell.length);
    expect(widths).toEqual([12, 12, 6, 18]);
  });

  it('marks a pickup, free time, odd bars, the strum once a section, and signs over the bars', () => {
    const map = lettered(bars('Verse: (1) 4:G 7/8(2+2+3):C ~5 4:D | Verse: 4:A'));
    const strum = { parts: 2, strokes: 'd-dU-ud-' } as const;
    const text = textChart({ ...map, sections: map.sections.map((section) => ({ ...section, strum, swing: 2 })) });
    expect(text).toContain('Verse   strum d- dU -u d-   swing 2:1\n');
    expect(text.match(/strum/g)).toHaveLength(1);
    for (const words of ['pickup', '7/8 (2+2+3)', 'free, 3 s']) expect(text).toContain(words);
    const jump = textChart(
      lettered(
        bars(`Intro: 4:F | Verse: ${V} | Chorus: ${C} | Bridge: ${B} | Verse: ${V} | Chorus: ${C} | Outro: 4:F`),
      ),
    );
    for (const words of ['Segno', 'To Coda', 'D.S. al Coda', 'Coda\n']) expect(jump).toContain(words);
    expect(textChart(lettered(bars('A: 4:C 4:F 4:C 4:F 4:C 4:F | B: 4:G')))).toMatch(
      /3 times\n.*\|:C {2}\. {2}\. {2}\. {3}\| F.*:\|/,
    );
  });

  it('shows the chords as transposed and behind the capo', () => {
    const text = textChart({ ...bars('4:A 4:E'), fingered: { capo: 2 } });
    expect(text).toContain('capo 2');
    expect(text).toMatch(/\| G .*\| D /);
  });

  it('has every bar and every chord, on its beat, in lines that fit an e-mail', () => {
    for (let seed = 1; seed <= runs(30); seed++) {
      const map = songOf(readChart(randomChart(seeded(seed))));
      const lines = textChart(map).split('\n');
      const { items } = fold(map);
      const found = lines.filter((line) => /^[\d ]{4}\|/.test(line)).flatMap(cells);
      const all = textBars(map, items);
      const width = beatWidth(all);
      expect(found.map((cell) => cell.trimEnd())).toEqual(all.map((bar) => barText(bar, width).trimEnd()));
      items.forEach((item, i) => {
        for (const { harte, beat, held } of item.kind === 'bar' ? item.chords : []) {
          if (held) continue;
          const name = leadSheetText(harte);
          expect(found[i]?.slice(Math.round(beat * width)).startsWith(name), `${seed}: ${found[i]}`).toBe(true);
        }
      });
      expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    }
  });

  it('takes a map without bars, and one of chords that crowd', () => {
    expect(textChart({ ...bars('4'), spans: [{ kind: 'lead-in', start: 0 }], sections: [] })).toBe(
      'Paper Lanterns\n4/4\n',
    );
    const crowded = textChart(bars('1:C:min7(b9,#11),G:hdim7@1.25,A:13(b9)@1.5,D:sus4(b7,9)@1.75'));
    for (const harte of ['G:hdim7', 'A:13(b9)', 'D:sus4(b7,9)']) expect(crowded).toContain(leadSheetText(harte));
  });
});
