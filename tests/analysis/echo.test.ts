import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import type { BarLikeness } from '../../src/analysis/sections/bar-likeness.js';
import { beginnings, ECHO_MODEL, echoes, type Possible } from '../../src/analysis/sections/echo.js';
import { segment, SEGMENT_MODEL } from '../../src/analysis/sections/segment.js';

const { echo, pass } = SEGMENT_MODEL;
afterEach(() => {
  Object.assign(SEGMENT_MODEL, { echo, pass });
});

/**
 * Likenesses of bars that are named by letter and place in a passage: "A1" is like each other "A1", its colour like all A's.
 * Around bar `masked` nothing shows a beginning: the four bars before and after it sound alike, the eight have one colour.
 */
function likenessOf(bars: readonly string[], masked = -Infinity): BarLikeness {
  const size = bars.length;
  const pairs = (of: (a: number, b: number) => number): Float32Array =>
    Float32Array.from({ length: size * size }, (_, at) => {
      const [a, b] = [Math.floor(at / size), at % size];
      return of(Math.min(a, b), Math.max(a, b));
    });
  const isMasked = (a: number, b: number, reach: number): boolean =>
    a >= masked - reach && a < masked && b >= masked && b < masked + reach;
  const same = pairs((a, b) => (bars[a] === bars[b] ? 0.8 : isMasked(a, b, 4) ? 0.75 : 0));
  const colour = pairs((a, b) => (bars[a]!.charAt(0) === bars[b]!.charAt(0) || isMasked(a, b, 8) ? 0.5 : -0.2));
  return { size, same, colour, sound: same, harmony: () => 0 };
}

/** "A8 B8" as bars: eight of A, each like its counterpart in every other A, then eight of B. */
function barsOf(form: string): string[] {
  return form.split(' ').flatMap((part) => {
    return Array.from({ length: Number(part.slice(1)) }, (_, i) => `${part.charAt(0)}${i}`);
  });
}

const free = { forced: new Set([0]), barred: new Set<number>() };
const range = (from: number, until: number): number[] => Array.from({ length: until - from }, (_, i) => from + i);

/** The echo twice as strong, and nothing said of whole passes: what is found is found by it. */
function alone(): void {
  Object.assign(SEGMENT_MODEL, { echo: 2 * echo, pass: 0 });
}

describe('how likely sections begin', () => {
  it('is their share of all divisions, each counted by what its sections are worth', () => {
    const ending = fc.array(fc.option(fc.double({ min: -2, max: 2, noNaN: true })), { minLength: 7, maxLength: 7 });
    fc.assert(
      fc.property(fc.array(ending, { minLength: 7, maxLength: 7 }), (table) => {
        const endings = table.map((worths, end): Possible[] => {
          // From the bar before there is always a way.
          return range(0, end).flatMap((start) => {
            const worth = worths[start] ?? (start === end - 1 ? 0 : undefined);
            return worth === undefined ? [] : [{ start, worth }];
          });
        });
        const sums = new Float64Array(6);
        let whole = 0;
        const divide = (end: number, starts: readonly number[], worth: number): void => {
          if (end === 0) {
            const odds = Math.exp(worth / ECHO_MODEL.heat);
            whole += odds;
            for (const start of starts) sums[start]! += odds;
          } else for (const each of endings[end]!) divide(each.start, [...starts, each.start], worth + each.worth);
        };
        divide(6, [], 0);
        beginnings(endings).forEach((p, bar) => expect(p).toBeCloseTo(sums[bar]! / whole, 9));
      }),
    );
  });
});

describe('where the same music begins a section elsewhere', () => {
  const bars = barsOf('X8 A8 B8 A8 B8');
  const { same, size } = likenessOf(bars);

  it('one is worth more, by what goes on and by what has ended there', () => {
    const likely = new Float64Array(size).fill(ECHO_MODEL.usual);
    likely[8] = 1;
    const heard = echoes(same, size, likely);
    expect(heard.indexOf(Math.max(...heard))).toBe(24);
    expect(heard[24]).toBeGreaterThan(0.3);
    // Nothing is known from what is nowhere else, and from the place itself.
    expect(heard[8]).toBe(0);
    expect(heard[4]).toBe(0);
    likely[8] = ECHO_MODEL.usual;
    likely[32] = 1;
    // Bar 16 goes on as bar 32 does, and comes behind the same.
    expect(echoes(same, size, likely)[16]).toBeGreaterThan(0.3);
  });

  it('one is worth less where none begins there', () => {
    const likely = new Float64Array(size).fill(0);
    expect(echoes(same, size, likely)[24]).toBeLessThan(-ECHO_MODEL.usual / 2);
  });

  it('one begins though its own beginning is masked', () => {
    alone();
    const song = likenessOf(barsOf('X8 A8 B8 A8 Y8'), 24);
    expect(segment(song, free)).toEqual([0, 8, 16, 24, 32]);
    SEGMENT_MODEL.echo = 0;
    expect(segment(song, free)).not.toContain(24);
  });

  it('one begins beside a section of the user that is longer than any suggested one', () => {
    alone();
    const song = likenessOf(barsOf('X8 A8 B8 A8 Y8 U60'), 24);
    const limits = { forced: new Set([0, 40]), barred: new Set(range(41, 100)) };
    expect(segment(song, limits)).toEqual([0, 8, 16, 24, 32, 40]);
    SEGMENT_MODEL.echo = 0;
    expect(segment(song, limits)).not.toContain(24);
  });
});

describe('a pass of a section found elsewhere', () => {
  // The third A has a bar put in after its fourth, and its end sounds on into the B that follows.
  const verse = [...barsOf('A4'), 'Z0', ...barsOf('A8').slice(4)];
  const bars = [...barsOf('A8 B8 A8 C8'), ...verse, ...barsOf('B8 C8')];

  it('is one section though a bar is put in, and does not run into the next', () => {
    const song = likenessOf(bars, 41);
    expect(segment(song, free)).toEqual([0, 8, 16, 24, 32, 41, 49]);
    SEGMENT_MODEL.pass = 0;
    expect(segment(song, free)).not.toContain(41);
  });
});

describe('what the user decided', () => {
  it('is obeyed whatever is likely', () => {
    const letters = fc.array(fc.constantFrom('A8', 'B8', 'C12', 'D4'), { minLength: 1, maxLength: 12 });
    const places = fc.array(fc.integer({ min: 1, max: 130 }), { maxLength: 5 });
    const stretches = fc.array(fc.tuple(fc.integer({ min: 0, max: 130 }), fc.integer({ min: 2, max: 70 })), {
      maxLength: 3,
    });
    fc.assert(
      fc.property(letters, places, stretches, (form, edges, kept) => {
        const song = likenessOf(barsOf(form.join(' ')));
        const forced = new Set([0, ...edges, ...kept.map(([from]) => from)]);
        const barred = new Set(kept.flatMap(([from, bars]) => range(from + 1, from + bars)));
        const starts = segment(song, { forced, barred });
        expect(starts).toEqual([...new Set(starts)].sort((a, b) => a - b));
        expect(starts).toEqual(expect.arrayContaining([...forced].filter((bar) => bar < song.size)));
        expect(starts.filter((bar) => barred.has(bar) && !forced.has(bar))).toEqual([]);
        starts.forEach((start, i) => {
          const end = starts[i + 1] ?? song.size;
          const may = range(start + 1, end).filter((bar) => !barred.has(bar));
          // Longer than the longest only where no bar between may begin one.
          if (end - start > SEGMENT_MODEL.longest) expect(may).toEqual([]);
        });
      }),
    );
  });
});
