import { expect, it } from 'vitest';
import type { SongMap } from '../../../src/model/song-map.js';
import { doubtSubject, doubtText } from '../../../src/app/doubts/doubts-state.js';
import { barsOf } from '../../../src/model/map-queries.js';
import { bars } from '../../support/notation.js';

const asking = (text: string): SongMap => ({
  ...bars('-2 4 4 4 4 -2'),
  doubts: [{ time: 3, weight: 1, kind: 'length', text, keep: [], other: [] }],
});

it('a doubt names its bar unless its text says what it is about', () => {
  expect(doubtText(asking('4 beats or 2?'), 0)).toBe('bar 2: 4 beats or 2?');
  expect(doubtSubject(asking('4 beats or 2?'), 0)).toBe('bar 2');
  for (const [subject, rest] of [
    ['The whole song', 'bars of 4 beats (4/4), or of 2 beats (2/4)?'],
    ['Bars 2 to 4', 'hardly a steady beat is heard. Free time?'],
    ['The pickup to bar 3', '1 beat or 2?'],
    ['Takte 2 bis 4', 'kaum ein Puls zu hören. Freie Zeit?'],
  ] as const) {
    expect(doubtText(asking(`${subject}: ${rest}`), 0)).toBe(`${subject}: ${rest}`);
    expect(doubtSubject(asking(`${subject}: ${rest}`), 0)).toBe(subject);
  }
});

it('a doubt about a length says what the other passes have there', () => {
  const asked = (notation: string, number: number): string => {
    const map = bars(notation);
    const { start } = barsOf(map)[number - 1]!;
    return doubtText(
      { ...map, doubts: [{ time: start, weight: 1, kind: 'length', text: '4 or 2?', keep: [], other: [] }] },
      0,
    );
  };
  expect(asked('V: 4 4 4 | R: 4 4 | V: 4 2 4', 2)).toBe('bar 2: 4 or 2? The same place in pass 2 has 2.');
  expect(asked('V: 4 4 4 | R: 4 4 | V: 4 2 4', 7)).toBe('bar 7: 4 or 2? The same place in pass 1 has 4.');
  expect(asked('V: 4 4 4 | V: 4 2 4 | V: 4 2 4', 2)).toBe('bar 2: 4 or 2? The same place in the other passes has 2.');
  // Where a bar before is of another length, or one is missing, nobody knows which bars go together; a section that comes once has no pass beside it.
  expect(asked('V: 4 4 4 | V: 3 2 4', 2)).toBe('bar 2: 4 or 2?');
  expect(asked('V: 4 4 4 | R: 4 2 4', 2)).toBe('bar 2: 4 or 2?');
  expect(asked('V: 4 4 4 | V: 4', 2)).toBe('bar 2: 4 or 2?');
  expect(asked('V: 4 4 4 | V: 4 2 4 4', 2)).toBe('bar 2: 4 or 2?');
  expect(asked('V: (2) 4 4 | V: 4 2', 3)).toBe('bar 2: 4 or 2? The same place in pass 2 has 2.');
});
