import { describe, expect, it } from 'vitest';
import { goldenFacts } from './corpus.js';
import { differs, factsText, readFacts, type SongFacts } from './facts.js';
import { RECORDINGS } from './recordings.js';
import { differenceSentences } from './words.js';

const golden = (id: string): SongFacts => goldenFacts(RECORDINGS.find((one) => one.id === id)!);

/** A copy with the value at a path made another one. */
function withChange(song: SongFacts, path: readonly string[], change: (value: never) => unknown): SongFacts {
  const copy = structuredClone(song);
  let holder = copy as unknown as Record<string, unknown>;
  for (const key of path.slice(0, -1)) holder = holder[key] as Record<string, unknown>;
  const last = path.at(-1) as string;
  holder[last] = change(holder[last] as never);
  return copy;
}

/** The paths of all words and numbers. */
function leaves(value: unknown, path: readonly string[] = []): (readonly string[])[] {
  if (typeof value !== 'object' || value === null) return [path];
  return Object.entries(value).flatMap(([key, own]) => leaves(own, [...path, key]));
}

const STATE = ['states', '1'] as const;
const place = (song: SongFacts): string =>
  `${song.id}, after '${song.states[1]!.steps.map(({ edit }) => edit).join("', '")}'`;

describe('what differs, in words', () => {
  const song = golden('cut-out');

  it('is nothing for the same maps, nor for numbers that differ in their last bits', () => {
    expect(differenceSentences(song, readFacts(factsText(song)))).toEqual([]);
    const near = withChange(song, [...STATE, 'spans', '3', 'start'], (time: number) => time + 1e-6);
    expect(differenceSentences(song, near)).toEqual([]);
    expect(differs(0.25, 0.250002)).toBe(true);
    expect(differs(2, 3)).toBe(true);
  });

  it('names the bar and its beats', () => {
    const { spans } = song.states[1]!;
    const bar = spans.findIndex(({ span }) => span === 'bar 20');
    const other = withChange(song, [...STATE, 'spans', String(bar), 'beats'], () => 2);
    expect(differenceSentences(song, other)).toEqual([`${place(song)}: bar 20 has 2 beats instead of 4`]);
  });

  it('names a doubt that is gone', () => {
    const first = song.states[0]!;
    const [doubt] = first.doubts;
    const other = withChange(song, ['states', '0', 'doubts'], (doubts: readonly unknown[]) => doubts.slice(1));
    expect(differenceSentences(song, other)).toEqual([
      `cut-out, first map: the doubt about ${doubt!.bar} (${doubt!.kind}: "${doubt!.text}") is gone`,
    ]);
  });

  it('leaves no word or number out, wherever it is', () => {
    const other = golden('pickup');
    // What was done is the list's, not the program's; a list that is another one is another test.
    const paths = leaves(other).filter(
      (path) => path[0] !== 'id' && path[2] !== 'edits' && !(path[2] === 'steps' && path[4] === 'edit'),
    );
    expect(paths.length).toBeGreaterThan(1000);
    const unsaid = paths.filter((path) => {
      const changed = withChange(other, path, (value: unknown) =>
        typeof value === 'number' ? value + 0.001 : typeof value === 'string' ? `${value}?` : undefined,
      );
      return differenceSentences(other, changed).length === 0;
    });
    expect(unsaid).toEqual([]);
  });
});
