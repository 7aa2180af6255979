import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barSlots, type BarSlot } from '../../src/analysis/bars/bar-grid.js';
import type { Evidence, Track } from '../../src/analysis/evidence/evidence.js';
import { findSections } from '../../src/analysis/sections/find-sections.js';
import { nameGroups } from '../../src/analysis/sections/names.js';
import type { Bar, Section } from '../../src/model/song-map.js';
import { COMMON_TIME } from '../../src/music/meter.js';

const RATE = 10;
const BAR = 2;

/** Four-bar progressions and a colour of sound for each kind of passage. */
const MATERIAL: Record<string, { roots: readonly number[]; colour: number }> = {
  A: { roots: [0, 5, 9, 7], colour: -1 },
  B: { roots: [5, 7, 4, 9], colour: 1 },
  C: { roots: [2, 10, 3, 8], colour: 0 },
};

/** Evidence of a song whose passages are letters of `form` (small ones a tone higher), eight bars each, with a little seeded noise. */
function song(form: string, seed = 1): { evidence: Evidence; bars: BarSlot[] } {
  const count = form.length * 8;
  const frames = count * BAR * RATE + 1;
  let state = seed * 7919 + 1;
  const noise = (): number => (state = (state * 16807) % 2147483647) / 2147483647;
  const chroma = new Uint8Array(frames * 12);
  const bass = new Uint8Array(frames * 12);
  const timbre = new Uint8Array(frames * 12);
  for (let i = 0; i < frames; i++) {
    const bar = Math.min(count - 1, Math.floor(i / RATE / BAR));
    const letter = form.charAt(bar >> 3);
    const { roots, colour } = MATERIAL[letter.toUpperCase()]!;
    const root = (roots[bar % 4]! + (letter === letter.toUpperCase() ? 0 : 2)) % 12;
    for (const step of [0, 4, 7]) chroma[i * 12 + ((root + step) % 12)] = 200;
    bass[i * 12 + root] = 255;
    for (let k = 0; k < 12; k++) {
      chroma[i * 12 + k] = Math.min(255, chroma[i * 12 + k]! + 40 * noise());
      timbre[i * 12 + k] = 128 + (k < 4 ? 25 * colour : 0) + 20 * (noise() - 0.5);
    }
  }
  const track = (data: Uint8Array): Track => ({ rate: RATE, width: 12, data });
  const none: Track = { rate: 100, width: 1, data: new Uint8Array(0) };
  const tracks = {
    chroma: track(chroma),
    bass: track(bass),
    timbre: track(timbre),
    beat: none,
    downbeat: none,
    onset: none,
    level: none,
  };
  const bars = Array.from({ length: count }, (_, i): Bar => {
    const start = i * BAR;
    return { kind: 'bar', start, beats: [0, 0.5, 1, 1.5].map((b) => start + b), meter: COMMON_TIME, confidence: 1 };
  });
  return { evidence: { version: 'test', duration: count * BAR, tuning: 0, tracks }, bars: barSlots(bars, count * BAR) };
}

const letters = (sections: readonly Section[]): string => sections.map((s) => s.letter).join('');
const starts = (sections: readonly Section[]): number[] => sections.map((s) => s.start / BAR);
const user = (bar: number, name: string, letter = 'A'): Section => ({
  id: `u${bar}`,
  name,
  letter,
  start: bar * BAR,
  anchor: bar * BAR,
  origin: 'user',
});
const idea = (bar: number): Section => ({
  id: `i${bar}`,
  name: 'x',
  letter: 'X',
  start: bar * BAR,
  origin: 'suggested',
});

describe('section suggestions', () => {
  it('find what returns in a song of two parts', () => {
    const { evidence, bars } = song('ABABA');
    const sections = findSections(evidence, bars);
    expect(letters(sections)).toBe('ABABA');
    expect(starts(sections)).toEqual([0, 8, 16, 24, 32]);
    expect(new Set(sections.map((s) => s.id)).size).toBe(5);
    expect(sections.map((s) => s.name)).toEqual(['Verse', 'Chorus', 'Verse', 'Chorus', 'Verse']);
  });

  it('set a part that comes once apart', () => {
    const { evidence, bars } = song('ABABCAB');
    const sections = findSections(evidence, bars);
    expect(letters(sections)).toBe('ABABCAB');
    expect(sections[4]?.name).toBe('Bridge');
  });

  it('call a passage the same when it returns in another key', () => {
    const { evidence, bars } = song('ABABab');
    expect(letters(findSections(evidence, bars))).toBe('ABABAB');
  });

  it('divide two passes in a row where one stands alone elsewhere', () => {
    const { evidence, bars } = song('ABAAB');
    const sections = findSections(evidence, bars);
    expect(letters(sections)).toBe('ABAAB');
    expect(starts(sections)).toEqual([0, 8, 16, 24, 32]);
  });

  it('tile the bars whatever the song and whatever the user has marked', () => {
    const forms = fc.array(fc.constantFrom('A', 'B', 'C'), { minLength: 1, maxLength: 5 }).map((l) => l.join(''));
    const marks = fc.uniqueArray(fc.tuple(fc.integer({ min: 0, max: 45 }), fc.boolean()), {
      maxLength: 6,
      selector: ([bar]) => bar,
    });
    fc.assert(
      fc.property(
        forms,
        fc.integer({ min: 1, max: 1000 }),
        marks,
        fc.integer({ min: 1, max: 40 }),
        (form, seed, marked, most) => {
          const made = song(form, seed);
          const { evidence } = made;
          const bars = made.bars.slice(0, most);
          const before = [...marked]
            .sort(([a], [b]) => a - b)
            .map(([bar, mine]) => (mine ? user(bar, `n${bar}`, `L${bar}`) : idea(bar)));
          const sections = findSections(evidence, bars, before);
          expect(sections[0]?.start).toBe(bars[0]?.start);
          const at = sections.map((s) => bars.findIndex((bar) => bar.start === s.start));
          expect(at).not.toContain(-1);
          expect([...at].sort((a, b) => a - b)).toEqual(at);
          expect(new Set(at).size).toBe(at.length);
          expect(new Set(sections.map((s) => s.id)).size).toBe(sections.length);
          for (const mine of before.filter((s) => s.origin === 'user' && s.start < (bars.at(-1)?.start ?? 0))) {
            expect(sections.find((s) => s.id === mine.id)).toMatchObject({
              name: mine.name,
              letter: mine.letter,
              origin: 'user',
            });
          }
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe("the user's sections", () => {
  const { evidence, bars } = song('ABABA');

  it('keep their edges, and what is like them takes their name and letter', () => {
    const sections = findSections(evidence, bars, [user(8, 'Refrain', 'R'), idea(16)]);
    expect(starts(sections)).toEqual([0, 8, 16, 24, 32]);
    expect(sections.map((s) => s.name)).toEqual(['Verse', 'Refrain', 'Verse', 'Refrain', 'Verse']);
    expect(letters(sections)).toBe('ARARA');
    expect(sections.map((s) => s.origin)).toEqual(['suggested', 'user', 'suggested', 'suggested', 'suggested']);
  });

  it('lend nothing when they are named for their place alone', () => {
    const sections = findSections(evidence, bars, [user(8, 'Solo', 'R'), idea(16)]);
    expect(sections.map((s) => s.name)).toEqual(['Verse', 'Solo', 'Verse', 'Chorus', 'Verse']);
    expect(letters(sections)).toBe('ARABA');
  });

  it('are not divided, joined to what the user calls otherwise, or moved by what is more likely', () => {
    const sections = findSections(evidence, bars, [user(5, 'One', 'P'), user(21, 'Two', 'Q'), idea(30)]);
    expect(starts(sections)).toEqual(expect.arrayContaining([5, 21, 30]));
    expect(starts(sections).filter((bar) => (bar > 5 && bar < 21) || (bar > 21 && bar < 30))).toEqual([]);
    expect(sections.find((s) => s.id === 'u5')).toMatchObject({ name: 'One', letter: 'P' });
    expect(sections.find((s) => s.id === 'u21')).toMatchObject({ name: 'Two', letter: 'Q' });
  });

  it('follow the nearest bar line when bars are corrected', () => {
    const moved = bars.map(({ bar, start, end }): BarSlot => ({
      bar: { ...bar, start: start + 0.5 },
      start: start + 0.5,
      end: end + 0.5,
    }));
    const sections = findSections(evidence, moved, [user(8, 'Refrain'), idea(16)]);
    expect(sections.find((s) => s.id === 'u8')).toMatchObject({ start: 16.5, anchor: 16 });
  });

  it('do not come back at or beside a place where they were refused', () => {
    expect(starts(findSections(evidence, bars, [], [16 * BAR]))).toEqual([0, 8, 24, 32]);
    // Unless the user says that one begins there after all.
    const after = findSections(evidence, bars, [user(16, 'Verse', 'V')], [16 * BAR]);
    expect(starts(after)).toEqual(expect.arrayContaining([16]));
  });

  it('begin where the user put an edge, named or not', () => {
    const edge = { ...idea(19), anchor: 19 * BAR };
    const sections = findSections(evidence, bars, [idea(0), edge]);
    expect(starts(sections)).toEqual(expect.arrayContaining([19]));
    expect(sections.find(({ id }) => id === edge.id)).toMatchObject({ anchor: 19 * BAR, origin: 'suggested' });
  });

  it('leave a suggestion its identity while it starts at the same place', () => {
    const first = findSections(evidence, bars);
    expect(findSections(evidence, bars, first).map((s) => s.id)).toEqual(first.map((s) => s.id));
  });
});

describe('names', () => {
  it('come from place and recurrence, or are the letter', () => {
    // Lengths 4, 8, 8, 8, 8, 8, 8, 4; groups as a song of verse and chorus with its ends.
    expect(nameGroups([0, 4, 12, 20, 28, 36, 44, 52], [0, 1, 2, 1, 2, 3, 2, 4], 56)).toEqual([
      'Intro',
      'Verse',
      'Chorus',
      'Verse',
      'Chorus',
      'Bridge',
      'Chorus',
      'Outro',
    ]);
    expect(nameGroups([0], [0], 8)).toEqual(['A']);
    expect(nameGroups([0, 8], [0, 1], 16)).toEqual(['A', 'B']);
  });
});
