import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formOf, type Form } from '../../src/model/form.js';
import { formSentence } from '../../src/model/form-words.js';
import { barsOf } from '../../src/model/map-queries.js';
import { beatsOf } from '../../src/music/meter.js';
import { mapArbitrary } from '../support/arbitraries.js';
import { lettered } from '../support/chart-notation.js';
import { bars } from '../support/notation.js';
import { runs } from '../support/runs.js';

const four = Array(4).fill('4').join(' ');
const eight = `${four} ${four}`;
const said = (notation: string): string => formSentence(lettered(bars(notation)));

describe('the form', () => {
  const rows = (form: Form): unknown[] =>
    form.parts.map((part) =>
      part.kind === 'section'
        ? [part.name, part.letter, part.bars, part.beats, part.from, part.to]
        : [part.kind, part.from, part.to],
    );

  it('lists the sections and what is between them', () => {
    const map = bars('-2 Verse: (1) 4 4 2 | Chorus: 4 7/8 ~2 | 4 ~ 4 -3');
    expect(rows(formOf(map))).toEqual([
      ['lead-in', 0, 1],
      ['Verse', 'A', 3, 11, 1, 6.5],
      ['Chorus', 'B', 2, 11, 6.5, 12],
      ['free', 12, 13],
      ['C', 'C', 2, 8, 13, 19],
      ['tail', 19, 20.5],
    ]);
    expect(formOf(map).parts.map((part) => part.kind === 'section' && part.free)).toEqual([
      false,
      undefined,
      undefined,
      false,
      2,
      false,
    ]);
    expect(formOf(map).totals).toEqual({ bars: 7, beats: 30, seconds: 20.5 });
  });

  it('adds up to the recording, to all its bars and beats', () => {
    fc.assert(
      fc.property(mapArbitrary(), fc.nat(3), fc.nat(3), (made, cut, rest) => {
        const map = { ...made, recording: { ...made.recording, duration: made.recording.duration + rest } };
        const { parts, totals } = formOf(cut === 0 ? map : shifted(map, cut));
        let at = 0;
        for (const part of parts) {
          expect(part.from).toBeCloseTo(at, 9);
          at = part.to;
        }
        expect(at).toBeCloseTo(totals.seconds, 9);
        expect(totals.bars).toBe(barsOf(map).filter((bar) => !bar.pickup).length);
        expect(totals.beats).toBeCloseTo(
          barsOf(map).reduce((sum, bar) => sum + beatsOf(bar.meter), 0),
          9,
        );
        expect(parts.filter((part) => part.kind === 'section')).toHaveLength(map.sections.length);
      }),
      { numRuns: runs(100) },
    );
  });
});

/** The map so many seconds later in a recording that is as much longer. */
function shifted(map: ReturnType<typeof bars>, by: number): ReturnType<typeof bars> {
  const later = <T extends { readonly start: number }>(one: T): T => ({ ...one, start: one.start + by });
  return {
    ...map,
    start: map.start + by,
    end: map.end + by,
    recording: { ...map.recording, duration: map.recording.duration + by },
    spans: map.spans.map((span) =>
      span.kind === 'bar' ? { ...later(span), beats: span.beats.map((beat) => beat + by) } : later(span),
    ),
    sections: map.sections.map(later),
  };
}

describe('the form in a sentence', () => {
  const seven = '4 4 4 2 4 4 4 4';
  it.each([
    ['counts the bars', `Intro: ${four} | Verse: ${eight}`, 'Intro 4, Verse 8'],
    ['says a bar at the end for itself', `Intro: ${four} 2 | ${eight}`, 'Intro 4 + a bar of 2, B 8'],
    ['and one at the beginning', `Intro: 2 ${four} | Verse: ${eight}`, 'Intro a bar of 2 + 4, Verse 8'],
    ['names a cut bar', `Verse: ${eight.slice(2)} 3`, 'Verse 8 (the last bar has 3 beats)'],
    ['names two', `Verse: 4 2 4 2 ${four}`, 'Verse 8 (bars 2 and 4 have 2 beats)'],
    ['names two of two lengths', `Verse: 4 2 4 5 ${four}`, 'Verse 8 (bar 2 has 2 beats, bar 4 5 beats)'],
    ['sums up more', `Verse: 4 2 3 5 ${four}`, 'Verse 8 of changing length (30 beats)'],
    [
      'says a verse once and names it after',
      `Verse: ${eight} | Chorus: ${four} | Verse: ${eight}`,
      'Verse 8, Chorus 4, Verse',
    ],
    [
      'puts neighbours together',
      `Verse: ${eight} | Verse: ${eight} | Chorus: ${four} 2 | Chorus: ${four} 2`,
      'Verse 8 twice, (Chorus 4 + a bar of 2) twice',
    ],
    ['takes numbered verses for passes', `Verse_1: ${eight} | Verse_2: ${eight}`, 'Verse 1: 8, Verse 2'],
    [
      'leaves digits and signs of names alone',
      `Riff_#3: ${four} | Verse_2: ${eight} | A': ${four} | Part_1/2: ${four} | Verse_2: ${eight} | A': ${four}`,
      "Riff #3: 4, Verse 2: 8, A' 4, Part 1/2: 4, Verse 2, A'",
    ],
    [
      'and of verses hardly two of which are alike',
      `Verse_1: ${four} | Verse_2: ${eight} | Verse_3: 4 4 | Verse_3: 4 4 | Verse_4: 4 4 4 | Verse_5: ${seven}`,
      'Verse 1: 4, Verse 2: 8, Verse 3: 2 twice, Verse 4: 3, Verse 5: 8 (bar 4 has 2 beats)',
    ],
    [
      'says half a bar less',
      `Verse: ${seven} | Chorus: ${four} | Verse: ${eight}`,
      'Verse 8 (7½ the first time), Chorus 4, Verse',
    ],
    [
      'says which bar is another',
      `Verse: ${eight} | A: ${four} | Verse: ${seven.replace('2', '3')} | A: ${four} | Verse: ${eight}`,
      'Verse 8 (bar 4 has 3 beats the second time), A 4, Verse, A, Verse',
    ],
    [
      'says bars by name beside what a bar has',
      `Verse: ${eight} | A: ${four} | Verse: ${seven.replace('2', '3')} | A: ${four} | Verse: ${four} | A: ${four} | Verse: ${eight}`,
      'Verse 8 (bar 4 has 3 beats the second time, 4 bars the third time), A 4, Verse, A, Verse, A, Verse',
    ],
    [
      'says which pass is longer',
      `A: ${four} | B: ${four} | A: ${four} | B: ${four} | A: ${four} 4 4`,
      'A 4 (6 the last time), B 4, A, B, A',
    ],
    [
      'says a pass with another end',
      `A: ${four} | B: ${four} | A: ${four} 2 | B: ${four} | A: ${four}`,
      'A 4 (4 + a bar of 2 the second time), B 4, A, B, A',
    ],
    [
      'says each length where hardly two are alike',
      `A: ${four} | B: ${eight} | A: ${eight} | A: 4 4 | A: 4 4 4`,
      'A 4, B 8, A 8, A 2, A 3',
    ],
    ['says the pickup', `Intro: (2) ${four}`, 'Pickup of 2 beats, Intro 4'],
    ['says free time', `Intro: ${four} ~8 | Verse: ${four} ~6 4 4`, 'Intro 4, free for 4 s, Verse 6 + 3 s free'],
    ['begins with free time', `~8 | Verse: ${four}`, 'Free for 4 s, Verse 4'],
    ['says another time signature', `Verse: ${eight} | Bridge: 3/4 3/4 3/4 3/4`, 'Verse 8, Bridge 4 in 3/4'],
    ['says bars of other beats by their signature', `Verse: ${four} 7/8`, 'Verse 4 + a bar of 7/8'],
    ['says half beats', `Verse: ${four} 3.5`, 'Verse 4 + a bar of 3½'],
  ])('%s', (_, notation, sentence) => expect(said(notation)).toBe(sentence));

  it('is empty without bars', () => {
    expect(formSentence({ ...bars('4'), spans: [{ kind: 'lead-in', start: 0 }], sections: [] })).toBe('');
  });

  it('is made for any map', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        expect(formSentence(map)).not.toMatch(/undefined|NaN|, ,|^$|\d\.\d/);
      }),
      { numRuns: runs(100) },
    );
  });
});
