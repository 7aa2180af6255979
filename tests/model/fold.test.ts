import { describe, expect, it } from 'vitest';
import { fold, type FoldOptions } from '../../src/model/fold/fold.js';
import { ChartProblem, unfold } from '../../src/model/fold/unfold.js';
import { endingText, jumpText, labelAt } from '../../src/model/fold/written-chart.js';
import { chartText, lettered, readChart } from '../support/chart-notation.js';
import { bars } from '../support/notation.js';

const folded = (song: string, options?: FoldOptions): string => chartText(fold(lettered(bars(song)), options));

// A verse, a chorus and a bridge of four bars, for songs made of them.
const V = '4:G 4:D 4:E:min 4:C';
const C = '4:C 4:D 4:G 4:E:min 4:C 4:D 4:G 4:G';
const B = '4:A:min 4:B:min 4:C 4:D';

describe('fold', () => {
  it('repeats a section played twice, and more than one section', () => {
    expect(folded(`Verse: ${V} | Verse: ${V}`)).toBe(`Verse: |: ${V} :|`);
    expect(folded(`Verse: ${V} | Chorus: ${B} | Verse: ${V} | Chorus: ${B}`)).toBe(`Verse: |: ${V} Chorus: ${B} :|`);
  });

  it('writes endings where passes end differently', () => {
    expect(folded('A: 4:G 4:C 4:D 4:G | A: 4:G 4:C 4:D 4:E')).toBe('A: |: 4:G 4:C 4:D [1 4:G :| [2 4:E ]');
    expect(folded('A: 4:G 4:C 4:D 4:G | A: 4:G 4:C 4:D 4:G | A: 4:G 4:C 4:D 4:E')).toBe(
      'A: |: 4:G 4:C 4:D [1,2 4:G :|3 [3 4:E ]',
    );
    const [first, second] = ['4:G 4:C 4:D 4:F 4:G', '4:G 4:C 4:D 4:F 4:E'];
    expect(folded(`A: ${first} | A: ${second} | A: ${first} | A: ${second}`)).toBe(
      'A: |: 4:G 4:C 4:D 4:F [1,3 4:G :|4 [2,4 4:E :|4',
    );
  });

  it('leaves what comes after a repeat behind it', () => {
    expect(folded(`A: ${V} | A: ${V} 2:D 4:G`)).toBe(`A: |: ${V} :| 2:D 4:G`);
  });

  it('writes a vamp inside a section as so many times, and the section begins once', () => {
    expect(folded('Intro: 4:C 4:F 4:C 4:F 4:C 4:F | Verse: 4:G')).toBe('Intro@1: |: 4:C 4:F :|3 Verse: 4:G');
    expect(folded('Intro: 4:C 4:C 4:C 4:C 4:C | Verse: 4:G')).toBe('Intro@1: |: 4:C :|5 Verse: 4:G');
  });

  it('writes out what is too short to be worth a sign', () => {
    for (const song of ['A: 4:C 4:F 4:C 4:F 4:G', 'A: 4:C 4:C 4:C 4:G', `A: ${V} | B: 4:G | A: ${V}`])
      expect(folded(song)).toBe(song.replaceAll(' | ', ' '));
  });

  it('jumps where a repeat would not do', () => {
    expect(
      folded(`Intro: 4:F | Verse: ${V} | Chorus: ${C} | Bridge: ${B} | Verse: ${V} | Chorus: ${C} | Outro: 4:F`),
    ).toBe(`Intro: 4:F Verse: $ ${V} Chorus: ${C} >coda Bridge: ${B} D.S.coda Outro: (o) 4:F`);
    expect(folded(`Chorus: ${C} | Bridge: ${B} | Chorus: ${C}`)).toBe(`Chorus: ${C} fine Bridge: ${B} D.C.fine`);
  });

  it('jumps into a repeat, which is then played once', () => {
    expect(
      folded(`Verse: ${V} | Chorus: ${C} | Verse: ${V} | Chorus: ${C} | Bridge: ${B} | Chorus: ${C} | Outro: 4:F`),
    ).toBe(`Verse: |: ${V} Chorus: $ ${C} :| >coda Bridge: ${B} D.S.coda Outro: (o) 4:F`);
  });

  it('jumps over a section that began with a repeat, played once the second time', () => {
    const line = '4:A:min 4:F 4:C';
    const first = `Verse: ${V} | Chorus: ${line} 4:G ${line} 4:E`;
    expect(folded(`${first} | Bridge: ${B} | Verse: ${V} | Chorus: ${line} 4:E | Outro: 4:F`)).toBe(
      `Verse: ${V} Chorus@1,3: |: ${line} [1 4:G :| [2 4:E ] >coda Bridge: ${B} D.C.coda Outro: (o) 4:F`,
    );
  });

  it('jumps with repeats where they are played again', () => {
    const twice = `Chorus: ${C} | Chorus: ${C}`;
    expect(folded(`${twice} | Bridge: ${B} | ${twice}`)).toBe(`Chorus: |: ${C} :| fine Bridge: ${B} D.C.fine+`);
    // Saying so costs more than a few bars.
    const once = `Chorus: ${V} | Chorus: ${V}`;
    expect(folded(`${once} | Bridge: ${B} | ${once}`)).toBe(`Chorus: |: ${V} :| Bridge: ${B} Chorus: |: ${V} :|`);
  });

  it('jumps nowhere, or folds nothing, when told so', () => {
    const song = `Verse: ${V} | Chorus: ${B} | Verse: ${V} | Chorus: ${B} | Tag: 4:G 4:G 4:G 4:G 4:G`;
    const again = `Verse: ${C} | Bridge: ${B} | Verse: ${C}`;
    expect(folded(again)).toContain('D.C.fine');
    expect(folded(again, { jumps: false })).not.toMatch(/fine|coda|D\.[CS]/);
    expect(folded(song, { jumps: false })).toBe(folded(song));
    expect(folded(song, { folding: 'off' })).toBe(song.replaceAll(' | ', ' '));
  });

  it('writes plain repeats alone when told so: a section again, or half of one, with two endings at most', () => {
    const plain = (song: string): string => folded(song, { folding: 'plain' });
    const once = `Verse: ${V} Chorus: ${B} Verse: ${V} Chorus: ${B}`;
    expect(plain(once.replaceAll(/ (?=[VC])/g, ' | '))).toBe(once);
    expect(plain(`Verse: ${V} | Verse: ${V} | Verse: ${V}`)).toBe(`Verse: |: ${V} :|3`);
    expect(plain(`Verse: ${V} ${V} | Tag: 4:F`)).toBe(`Verse@1: |: ${V} :| Tag: 4:F`);
    const line = `${V} 4:C 4:C`;
    expect(plain(`Verse: ${line} 4:G | Verse: ${line} 4:D 4:E`)).toBe(`Verse: |: ${line} [1 4:G :| [2 4:D 4:E ]`);
    expect(plain(`Verse: ${line} 4:G ${line} 4:D`)).toBe(`Verse@1: |: ${line} [1 4:G :| [2 4:D ]`);
    for (const song of [
      `Tag: 4:G 4:G 4:G 4:G 4:G`,
      `Verse: ${line} 4:G | Verse: ${line} 4:G | Verse: ${line} 4:D`,
      `Verse: ${V} ${V} ${V}`,
    ])
      expect(plain(song)).not.toMatch(/\|3|\[1,2|\|5/);
  });

  it('jumps plainly when told so: no sign stands at a repeat', () => {
    const chorus = `Chorus: ${C} | Chorus: ${C}`;
    const song = `Verse: ${V} ${B} | ${chorus} | Bridge: ${B} | Verse: ${V} ${B} | Outro: 4:F`;
    expect(folded(song, { folding: 'plain' })).toBe(
      `Verse: ${V} ${B} >coda Chorus: |: ${C} :| Bridge: ${B} D.C.coda Outro: (o) 4:F`,
    );
    expect(folded(`${chorus} | Bridge: ${B} | ${chorus}`, { folding: 'plain' })).not.toMatch(/D\.C/);
    expect(folded(song, { folding: 'plain', jumps: false })).not.toMatch(/D\.[CS]/);
  });

  it('carries the names of sections that share bars', () => {
    expect(folded(`Verse_1: ${V} | Verse_2: ${V}`)).toBe(`Verse_1@1: Verse_2@2: |: ${V} :|`);
    const { items } = fold(lettered(bars(`Verse_1: ${V} | Verse_2: ${V}`)));
    expect(labelAt(items, 0)).toBe('Verse 1 / Verse 2');
  });

  it('repeats from behind a pickup, where the label stands', () => {
    const chart = fold(lettered(bars(`Verse_1: (1) ${V} | Verse_2: ${V}`)));
    expect(chartText(chart)).toBe(`Verse_1: (1) Verse_2@2: |: ${V} :|`);
    expect(chart.items.map((_, i) => labelAt(chart.items, i)).filter(Boolean)).toEqual(['Verse 1 / Verse 2']);
    expect(labelAt(chart.items, 1)).toBe('Verse 1 / Verse 2');
    expect([chart.written, chart.played]).toEqual([4, 8]);
  });

  it('does not fold what only has the same chords: other sections, lengths, swing', () => {
    const apart = [`Verse: ${V} | Solo: ${V}`, 'A: 4:G 4:C 4:D 4:F | A: 4:G 4:C 2:D 4:F', '3/4:G 3/4:C 6/8:G 6/8:C'];
    for (const song of apart) expect(fold(lettered(bars(song))).written).toBe(fold(lettered(bars(song))).played);
    const map = lettered(bars(`Verse: ${V} | Verse: ${V}`));
    const swung = {
      ...map,
      sections: map.sections.map((section, i) => (i === 1 ? { ...section, swing: 2 } : section)),
    };
    expect(fold(swung).written).toBe(8);
  });

  it('never repeats over a free stretch', () => {
    expect(folded(`A: ${V} ~2 ${V} ~2`)).toBe(`A: ${V} ~2 ${V} ~2`);
  });

  it('takes chords by their sound and by what goes on over the bar line', () => {
    expect(folded('A: 4:F# 4:B 4:C#:7 4:F# | A: 4:Gb 4:B 4:Db:7 4:Gb')).toBe('A: |: 4:F# 4:B 4:C#:7 4:F# :|');
    const chart = fold(lettered(bars('A: 4:G 4 4:C 4:D | A: 4:G 4:G 4:C 4:D')));
    expect(chartText(chart)).toBe('A: |: 4:G 4:G 4:C 4:D :|');
    expect(chart.items.map((item) => item.kind === 'bar' && (item.chords[0]?.held ?? false))).toEqual([
      false,
      true,
      false,
      false,
    ]);
    // The second pass comes from D, so that its first bar is no G.
    expect(folded('A: 4 4:C 4:C 4:D | A: 4 4:C 4:C 4:D')).toBe('A: 4 4:C 4:C 4:D A: 4:D 4:C 4:C 4:D');
  });

  it('takes bars without a chord only for those at the same place of the same section', () => {
    expect(folded('A: 4 4 4 4 4 4 4 4')).toBe('A: 4 4 4 4 4 4 4 4');
    expect(folded('A: 4 4 4 4 | A: 4 4 4 4 | B: 4 4 4 4')).toBe('A: |: 4 4 4 4 :| B: 4 4 4 4');
  });

  it('says which bars a written one stands for', () => {
    const { items } = fold(lettered(bars('A: 4:G 4:C 4:D 4:G | A: 4:G 4:C 4:D 4:E')));
    expect(items.map((item) => item.kind === 'bar' && item.bars)).toEqual([[0, 4], [1, 5], [2, 6], [3], [7]]);
  });

  it('takes a map without bars', () => {
    expect(fold({ ...bars('4'), spans: [{ kind: 'lead-in', start: 0 }], sections: [] })).toEqual({
      items: [],
      written: 0,
      played: 0,
    });
  });
});

describe('unfold', () => {
  const played = (notation: string): string =>
    unfold(readChart(notation))
      .map((item) => (item.kind === 'bar' ? (item.chords[0]?.harte ?? '-') : '~'))
      .join('');

  it('reads repeats and endings', () => {
    expect(played('|: 4:A 4:B :| 4:C')).toBe('ABABC');
    expect(played('4:A 4:B :|3 4:C')).toBe('ABABABC');
    expect(played('|: 4:A [1 4:B :| [2 4:C ] 4:D')).toBe('ABACD');
    expect(played('|: 4:A [1,3 4:B 4:C :|4 [2,4 4:D :|4 4:E')).toBe('ABCADABCADE');
    expect(played('|: 4:A :| |: 4:B :|3')).toBe('AABBB');
  });

  it('reads jumps, after which repeats are played once unless the jump says so', () => {
    expect(played('4:A $ |: 4:B :| >coda 4:C D.S.coda (o) |: 4:D :|')).toBe('ABBCBDD');
    expect(played('4:A $ |: 4:B :| >coda 4:C D.S.coda+ (o) |: 4:D :|')).toBe('ABBCBBDD');
    expect(played('|: 4:A [1 4:B :| [2 4:C ] fine 4:D D.C.fine')).toBe('ABACDAC');
    expect(played('|: 4:A $ 4:B [1 4:C :| [2 4:D ] >coda 4:E D.S.coda (o) 4:F')).toBe('ABCABDEBDF');
  });

  it('refuses signs that lead nowhere', () => {
    expect(() => readChart('4:A D.S.coda')).toThrow(ChartProblem);
    expect(() => readChart('4:A >coda D.C.coda')).toThrow(/coda sign/);
    expect(() => readChart('|: 4:A [1 4:B :|3 [3 4:C ]')).toThrow(/no ending for pass 2/);
  });
});

describe('the words of a chart', () => {
  it('are those of an engraver', () => {
    expect(jumpText({ to: 'segno', until: 'coda' })).toBe('D.S. al Coda');
    expect(jumpText({ to: 'start', until: 'fine', withRepeats: true })).toBe('D.C. al Fine (with repeats)');
    expect([[1], [1, 2], [1, 2, 3], [1, 3]].map((passes) => endingText({ passes }))).toEqual([
      '1.',
      '1. 2.',
      '1.–3.',
      '1. 3.',
    ]);
  });
});
