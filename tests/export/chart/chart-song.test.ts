import { describe, expect, it } from 'vitest';
import { findPasses } from '../../../src/analysis/passes/find-passes.js';
import { chartSong, type ChartBar } from '../../../src/export/chart/chart-song.js';
import { setCue } from '../../../src/model/edits/chart.js';
import { setStrum } from '../../../src/model/edits/sections.js';
import { DEFAULT_CHART, type ChartOptions } from '../../../src/model/chart-options.js';
import { unfold } from '../../../src/model/fold/unfold.js';
import { fold } from '../../../src/model/fold/fold.js';
import { bars } from '../../support/notation.js';

const line = '4:G 4:C,D@3 4:E:min 4:D';
const said = (list: readonly ChartBar[]): string => list.map(barText).join(' ');

/** A bar in short: its time signature where printed, its chords with their beats from 1, its signs. */
function barText({ meter, chords, repeatStart, repeatEnd, after }: ChartBar): string {
  const own = chords.map(({ text, beat }) => (beat === 0 ? text : `${text}@${beat + 1}`)).join(',');
  const signs = after.length > 0 ? `(${after.join('; ')})` : '';
  return `${repeatStart ? '|:' : ''}${meter ? `${meter.count}/${meter.unit} ` : ''}${own}${repeatEnd ? ':|' : ''}${signs}`;
}

function written(notation: string, options: Partial<ChartOptions> = {}): readonly ChartBar[] {
  const map = bars(notation);
  return chartSong(map, { ...DEFAULT_CHART, ...options }, findPasses(map)).bars;
}

describe('what a chart says', () => {
  it('has chords on their beats and a time signature where it changes', () => {
    expect(said(written('Verse: 4:G 4:C,D@3 2:D 4:G 3/4:A:min 3/4:D'))).toBe('4/4 G C,D@3 2/4 D 4/4 G 3/4 Am D');
  });

  it('folds what comes again, or writes it out', () => {
    const song = `Verse: ${line} | Verse: ${line} | Verse: ${line}`;
    expect(said(written(song))).toBe('|:4/4 G C,D@3 Em D:|(play 3 times)');
    expect(written(song, { folded: false })).toHaveLength(12);
  });

  it('adds up to the song when it is played by its signs', () => {
    const map = bars(`Intro: 4:C 4:C | Verse: ${line} | Chorus: ${line} 2:D | Verse: ${line} | Chorus: ${line} 2:D`);
    const chart = fold(map, { folding: 'across' });
    expect(chartSong(map, DEFAULT_CHART).bars).toHaveLength(chart.items.length);
    expect(unfold(chart)).toHaveLength(2 + 2 * 9);
  });

  it('puts the first time signature before the pickup', () => {
    const [pickup, first] = written('(1):D 4:G 4:C');
    expect([pickup!.kind, pickup!.beats, pickup!.meter?.count, first!.meter]).toEqual(['pickup', 1, 4, undefined]);
  });

  it('names the shapes behind a capo, or what sounds', () => {
    const map = { ...bars('4:A 4:D 4:E:7'), key: { tonic: 'A', mode: 'major', confidence: 1 } as const };
    const shapes = chartSong({ ...map, fingered: { capo: 2 } }, DEFAULT_CHART);
    expect(said(shapes.bars)).toBe('4/4 G C D7');
    expect(shapes.facts).toContain('capo 2, shapes of G major');
    const sounding = chartSong({ ...map, fingered: { capo: 2, sounding: true } }, DEFAULT_CHART);
    expect(said(sounding.bars)).toBe('4/4 A D E7');
    // The shape is the same: that of G.
    expect(sounding.shapes[0]!.shape.frets).toEqual(shapes.shapes[0]!.shape.frets);
    const lower = chartSong({ ...map, fingered: { transpose: -2 } }, DEFAULT_CHART);
    expect(said(lower.bars)).toBe('4/4 G C D7');
    expect(lower.facts).toContain('2 semitones below the recording');
  });

  it('says how far the recording is from A440, from 3 cents on', () => {
    const facts = (tuning: number) => chartSong({ ...bars('4 4'), tuning }, DEFAULT_CHART).facts;
    expect(facts(14)).toContain('recording 14 cents sharp of A440');
    expect(facts(-31.4)).toContain('recording 31 cents flat of A440');
    expect(facts(2).join()).not.toMatch(/cents/);
  });

  it('says at the bar how a pass differs from the others', () => {
    const verse = '4:G 4:C 4:E:min 4:D 4:G 4:C 4:D 4:G';
    const short = '4:G 4:C 4:E:min 4:D 4:G 2:C 4:D 4:G';
    const chorus = 'Chorus: 4:F 4:C 4:F 4:G';
    const song = `Verse: ${verse} | ${chorus} | Verse: ${short} | ${chorus} | Verse: ${verse}`;
    const noted = (options: Partial<ChartOptions>) =>
      written(song, options).flatMap(({ number, differs }) => differs.map((text) => `${number} ${text}`));
    expect(noted({ folded: false })).toEqual(['18 usually 4 beats']);
    expect(noted({ folded: false, notes: false })).toEqual([]);
  });

  it('prints a strum pattern once a section and the lines of its passes, numbered', () => {
    const map = bars(`Verse: ${line} | Verse: ${line} | Chorus: 4:F 4:C | Verse: ${line} 2:D`);
    const [first, second] = map.sections;
    const strum = { parts: 2, strokes: 'd-du-udu' } as const;
    const cued = setCue(setCue(setStrum(map, first!.id, strum), first!.id, 'One line'), second!.id, ' another  line ');
    const heads = chartSong(cued, DEFAULT_CHART).bars.flatMap(({ head }) => (head ? [head] : []));
    expect(heads.map(({ name, strum: own }) => [name, own !== undefined])).toEqual([
      ['Verse', true],
      ['Chorus', false],
      ['Verse', false],
    ]);
    expect(heads[0]!.cues).toEqual(['1.  One line', '2.  another line']);
    expect(chartSong(cued, { ...DEFAULT_CHART, cues: false }).bars[0]!.head!.cues).toEqual([]);
  });

  it('has each chord once in the strip, over any bass on four strings', () => {
    const map = bars('4:C 4:G/3 4:C:maj/3 4:G');
    expect(chartSong(map, DEFAULT_CHART).shapes.map(({ name }) => name)).toEqual(['C', 'G']);
    const guitar = chartSong(map, { ...DEFAULT_CHART, instrument: 'guitar' }).shapes;
    expect(guitar.map(({ name }) => name)).toEqual(['C', 'G/B', 'C/E', 'G']);
  });
});
