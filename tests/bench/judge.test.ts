import { describe, expect, it } from 'vitest';
import { judge, type ClaimedBeat, type KnownSong } from './measures/judge.js';
import { jamsBeats, jamsTempo, jamsTruth } from './measures/read-jams.js';
import { median, percentile, tableText } from './statistics.js';

/** Bars of so many beats, half a second each, from `from` on: "4 4 2 4". */
function song(lengths: readonly number[], from = 10): { claimed: ClaimedBeat[]; bars: [number, number][] } {
  const claimed: ClaimedBeat[] = [];
  const bars: [number, number][] = [];
  let time = from;
  for (const length of lengths) {
    bars.push([time, length]);
    for (let position = 1; position <= length; position++) {
      claimed.push({ time, position, barBeats: length });
      time += 0.5;
    }
  }
  return { claimed, bars };
}

function known(lengths: readonly number[], more: Partial<KnownSong> = {}): KnownSong {
  const { claimed, bars } = song(lengths);
  const end = claimed.at(-1)!.time;
  return {
    beats: claimed.map(({ time, position }) => [time, position]),
    bars,
    judged: [9.75, end + 0.25],
    beats_per_bar: 4,
    ...more,
  };
}

// The cases follow from the definitions in judge.ts; no source but those.
describe('judging a song', () => {
  it('gives full marks to the truth itself', () => {
    const found = judge(known([4, 4, 2, 4, 4]), song([4, 4, 2, 4, 4]).claimed);
    expect([found.beatF, found.downbeatF, found.bars!.f, found.continuity.cmlt]).toEqual([1, 1, 1, 1]);
    expect(found.irregular).toMatchObject({ hits: 1, claimed: 1, actual: 1 });
  });

  it('keeps the beats and loses the bars when all bar lines are a beat late', () => {
    const late = song([4, 4, 4, 4]).claimed.map((beat) => ({ ...beat, position: ((beat.position + 2) % 4) + 1 }));
    const found = judge(known([4, 4, 4, 4]), late);
    expect([found.beatF, found.downbeatF, found.bars!.hits]).toEqual([1, 0, 0]);
  });

  it('counts a missed short bar and the bars after it as lost, until the bars are right again', () => {
    // 4 4 2 4 4 read as 4 4 4 4 2: two bars right, one short bar claimed elsewhere.
    const found = judge(known([4, 4, 2, 4, 4]), song([4, 4, 4, 4, 2]).claimed);
    expect(found.bars).toMatchObject({ hits: 2, claimed: 5, actual: 5 });
    expect(found.irregular).toMatchObject({ hits: 0, claimed: 1, actual: 1 });
  });

  it('takes no notice of pickups, of an open last bar, and of beats outside the judged span', () => {
    const { claimed } = song([4, 4, 4]);
    const pickup = [9, 9.5].map((time, i) => ({ time, position: 3 + i, barBeats: 4 }));
    const after = song([4, 4], 30).claimed;
    const found = judge(known([4, 4, 4], { last_bar_open: true }), [...pickup, ...claimed, ...after]);
    expect(found.beatF).toBe(1);
    expect(found.bars).toMatchObject({ hits: 2, claimed: 2, actual: 2 });
  });

  it('accepts each way that a stretch may be written', () => {
    const either = [{ from: 12, to: 15, bars: [song([4, 2], 12).bars, song([6], 12).bars] }];
    const truth = known([4, 4, 2, 4], { either });
    expect(judge(truth, song([4, 6, 4]).claimed).bars!.f).toBe(1);
    expect(judge(truth, song([4, 4, 2, 4]).claimed).bars!.f).toBe(1);
    expect(judge(truth, song([4, 2, 4, 4]).claimed).bars!.hits).toBe(2);
  });

  it('leaves bars out where they are not known', () => {
    const { bars, ...beatsOnly } = known([4, 4]);
    expect(bars).toHaveLength(2);
    expect(judge(beatsOnly, song([4, 4]).claimed)).not.toHaveProperty('bars');
  });
});

it('reads beats, tempo and a truth from JAMS', () => {
  const beat = (time: number, position: number, measure: number) => ({
    time,
    duration: 0.5,
    value: { position, measure, num_beats: 3, beat_units: 4 },
  });
  const text = JSON.stringify({
    annotations: [
      { namespace: 'beat_position', data: [beat(1, 1, 1), beat(0.5, 3, 0), beat(1.5, 2, 1), beat(2, 1, 2)] },
      { namespace: 'tempo', data: [{ time: 0, duration: 9, value: 120 }] },
    ],
  });
  expect(jamsBeats(text).map(({ time, position }) => [time, position])).toEqual([
    [0.5, 3],
    [1, 1],
    [1.5, 2],
    [2, 1],
  ]);
  expect(jamsTempo(text)).toBe(120);
  expect(jamsTruth(text)).toMatchObject({
    bars: [
      [1, 2],
      [2, 1],
    ],
    judged: [0.25, 2.25],
  });
  expect(() => jamsTempo('{"annotations":[]}')).toThrow(/holds no tempo/);
});

it('takes percentiles by nearest rank, sorting as numbers', () => {
  const values = [100, 9, 30, 1, 20, 10, 8, 7, 6, 5];
  expect([percentile(values, 0.5), percentile(values, 0.95), percentile(values, 0), percentile(values, 1)]).toEqual([
    8, 100, 1, 100,
  ]);
  expect([median(values), median([3, 1, 2]), median([])]).toEqual([8.5, 2, NaN]);
});

it('lines columns up, numbers to the right', () => {
  expect(
    tableText([
      ['what', 'ms'],
      ['solve', '9.5'],
      ['a', '12.5'],
    ]),
  ).toBe('what   ms\nsolve   9.5\na      12.5\n');
});
