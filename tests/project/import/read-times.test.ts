import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { solveMap } from '../../../src/analysis/solve.js';
import { barsCsv, beatsCsv } from '../../../src/export/csv.js';
import { toJams } from '../../../src/export/jams.js';
import { toMidi } from '../../../src/export/midi/midi.js';
import { importMarks, importTimes, replacedLocks, timeLocks } from '../../../src/model/edits/import-times.js';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import { check } from '../../../src/model/invariants.js';
import { holds } from '../../../src/model/lock-holds.js';
import { barsOf, beatTimes } from '../../../src/model/map-queries.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { meterText } from '../../../src/music/meter.js';
import { ImportProblem, type Imported } from '../../../src/project/import/imported.js';
import { checkTimesSize, readPastedTimes, readTimes } from '../../../src/project/import/read-times.js';
import { mapArbitrary } from '../../support/arbitraries.js';
import { bars } from '../../support/notation.js';
import { runs } from '../../support/runs.js';
import { analysedSample } from '../../support/sample-evidence.js';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const beatsIn = (found: Imported): readonly number[] => found.runs.flatMap(({ beats }) => beats);
const linesIn = (found: Imported): readonly number[] => found.runs.flatMap(({ downbeats }) => downbeats);
const lineStarts = (map: SongMap): number[] => barsOf(map).flatMap((bar) => (bar.pickup ? [] : [bar.start]));

/** Every way out of the program and back into it. */
const WAYS: Readonly<Record<string, (map: SongMap) => Imported>> = {
  JAMS: (map) => readTimes(bytes(toJams(map).text), map.recording.duration),
  MIDI: (map) => readTimes(toMidi(map), map.recording.duration),
  'table of beats': (map) => readTimes(bytes(beatsCsv(map)), map.recording.duration),
};

describe.each(Object.entries(WAYS))('a map as %s and back', (_, way) => {
  it('has its beats and bar lines, and they hold as locks', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        fc.pre(hasRun(map));
        const found = way(map);
        const near = (times: readonly number[]): number[] => times.map((time) => Math.round(time * 1e5) / 1e5);
        // A single beat between free stretches is no run of beats.
        const all = near(beatTimes(map));
        const read = near(beatsIn(found));
        expect(read.every((time) => all.includes(time))).toBe(true);
        expect(all.length - read.length).toBeLessThanOrEqual(
          map.spans.filter(({ kind }) => kind === 'free').length + 1,
        );
        expect(near(linesIn(found))).toEqual(near(lineStarts(map)).filter((time) => read.includes(time)));
        for (const draft of timeLocks(map, found)) {
          // Gaps shorter than two and a half beats, and free time that a table of beats does not tell, are left out.
          if (draft.kind === 'tap' && map.spans.some(({ kind }) => kind === 'free')) continue;
          if (draft.kind === 'meter') continue;
          const snapped = snap(draft, map);
          expect(holds(map.spans, { ...snapped, id: 'L1' }, map.start, map.end), JSON.stringify(draft)).toBe(true);
        }
      }),
      // In the example a pickup behind free time has the number of the bar of one beat before.
      { numRuns: runs(60), examples: [[bars('2 1 ~4 (1) 5')]] },
    );
  });
});

/** Whether two beats follow one another without free time between: single ones are no run, and a file of such is refused. */
function hasRun(map: SongMap): boolean {
  let beats = 0;
  return map.spans.some((span) => (beats = span.kind === 'bar' ? beats + span.beats.length : 0) >= 2);
}

/** A lock with its times at the map's beats within 0.02 ms: files round. */
function snap<L extends object>(lock: L, map: SongMap): L {
  const at = (time: number): number => beatTimes(map).find((beat) => Math.abs(beat - time) < 2e-5) ?? time;
  return JSON.parse(JSON.stringify(lock, (_, value: unknown) => (typeof value === 'number' ? at(value) : value))) as L;
}

describe('imported times', () => {
  it('become the bars of a recording that was mapped wrongly, with their chords and sections', async () => {
    const { evidence, map } = await analysedSample('kites-over-brennick.ogg');
    const truth = solved(evidence, setBarBeats(map, 20, 3));
    expect(lineStarts(truth)).not.toEqual(lineStarts(map));
    for (const way of [WAYS.JAMS!, WAYS.MIDI!]) {
      const found = way(truth);
      const again = solved(evidence, importTimes(map, found));
      expect(lineStarts(again).length).toBe(lineStarts(truth).length);
      lineStarts(again).forEach((line, i) => expect(Math.abs(line - lineStarts(truth)[i]!)).toBeLessThan(2e-5));
      expect(barsOf(again).map((bar) => meterText(bar.meter))).toEqual(
        barsOf(truth).map((bar) => meterText(bar.meter)),
      );
      const marked = importMarks(again, found);
      expect(check(marked)).toEqual([]);
      expect(marked.sections.map(({ name }) => name)).toEqual(truth.sections.map(({ name }) => name));
      if (found.chords.length > 0)
        expect(marked.chords.map(({ harte }) => harte)).toEqual(truth.chords.map(({ harte }) => harte));
    }
  });

  it('say which decisions of the user they would replace', () => {
    const map = bars('4 4 4 4');
    const decided = { ...map, locks: [{ id: 'L1', kind: 'tap', beats: [2, 2.6, 3.1], downbeats: [] }] } as SongMap;
    const found = readPastedTimes('0.1\n0.6\n1.1\n1.6\n2.1\n2.6\n', 8);
    expect(replacedLocks(decided, found).map(({ id }) => id)).toEqual(['L1']);
    expect(replacedLocks(map, found)).toEqual([]);
  });

  it('outside the map are none', () => {
    const map = { ...bars('4 4'), start: 3 };
    expect(() => importTimes(map, readPastedTimes('0.5\n1\n1.5', 4))).toThrow(/inside this recording/);
  });
});

function solved(evidence: Parameters<typeof solveMap>[0], map: SongMap): SongMap {
  const outcome = solveMap(evidence, map);
  if (!outcome.ok) throw new Error(`locks ${outcome.conflict.join()} cannot all hold`);
  return outcome.map;
}

describe('a plain list', () => {
  const read = (text: string, meaning?: 'beats' | 'bars'): Imported => readPastedTimes(text, 600, meaning);

  it('is of beats when they are close, of bar lines when they are not, or as it is told', () => {
    expect(beatsIn(read('# my song\n\n12.5\r\n13\r13,5\n0:14\n'))).toEqual([12.5, 13, 13.5, 14]);
    expect(read('1:02.5\n1:04.5\n01:01:06'.replace('01:01:06', '1:06.5')).barLines).toEqual([62.5, 64.5, 66.5]);
    expect(read('12.5\n13', 'bars').barLines).toEqual([12.5, 13]);
    expect(beatsIn(read('12.5\n14.5', 'beats'))).toEqual([12.5, 14.5]);
  });

  it('may number the beats in their bars', () => {
    for (const gap of [' ', '\t', '; ', ', ', ','] as const) {
      const found = read(['0.5', '1.0', '1.5', '2.0'].map((time, i) => `${time}${gap}${(i % 3) + 1}`).join('\n'));
      expect([beatsIn(found), linesIn(found)], JSON.stringify(gap)).toEqual([
        [0.5, 1, 1.5, 2],
        [0.5, 2],
      ]);
    }
  });

  it('is cut into runs at gaps', () => {
    expect(read('1\n1.5\n2\n5\n5.5\n6').runs.map(({ beats }) => beats)).toEqual([
      [1, 1.5, 2],
      [5, 5.5, 6],
    ]);
  });

  it('reads a published list of beats', () => {
    // mir_eval's tests (MIT licence): tests/data/beat/ref00.txt.
    const text = readFileSync('tests/standards/mir_eval/beat/ref00.txt', 'utf8');
    const wanted = text.trim().split('\n').map(Number);
    expect(wanted.length).toBeGreaterThan(100);
    expect(beatsIn(readPastedTimes(text, 3600))).toEqual(wanted);
  });

  it('reads our own table of bars', () => {
    const map = bars('- (1) 4:G,C@3 3 4 -');
    expect(readPastedTimes(barsCsv(map), map.recording.duration).barLines).toEqual([1, 3, 4.5, 6.5]);
  });
});

describe('what cannot be read', () => {
  const cases: readonly (readonly [string, string | Uint8Array, RegExp])[] = [
    ['nothing', '', /empty/],
    ['one time', '12.5\n', /one time.*at least two/],
    ['words', 'hello\nworld', /Line 1: found "hello".*12\.53/],
    ['times that go back', '2\n1\n3', /Line 2: 1 comes after 2, which is earlier/],
    ['times too close', '1\n1.01\n3', /closer than beats can be/],
    ['numbers on some lines', '1 1\n2\n3 3', /Line 2 has no number/],
    ['negative times', '-1\n2', /Line 1/],
    ['another song', '1\n2\n400', /400 s.*ends at 10 s.*another recording/],
    ['broken JSON', '{"annotations": [', /not complete JSON/],
    ['other JSON', '{"a": 1}', /no "annotations"/],
    ['JAMS without beats', '{"annotations": []}', /no beats, chords or sections/],
    ['JAMS without times', '{"annotations": [{"namespace": "beat", "data": [{"value": 1}, {}]}]}', /Entry 1 of beat/],
    ['broken MIDI', toMidi(bars('4 4')).slice(0, 70), /damaged or breaks off/],
    [
      'a JAMS file of millions of values',
      `{"annotations": [${'{},'.repeat(2_100_000)}{}]}`,
      /more than 4000000 values/,
    ],
    [
      'a MIDI file of six million bytes',
      Uint8Array.from({ length: 6e6 }, (_, i) => [0x4d, 0x54, 0x68, 0x64][i] ?? 0),
      /has 6 MB, too many/,
    ],
    ['a list of six million bytes', '1\n'.repeat(3e6), /has 6 MB, too many for times/],
    ['sound', Uint8Array.from([0x52, 0x49, 0x46, 0x46, 0, 0, 0, 0]), /no text, JAMS or MIDI file/],
  ];
  it.each(cases)('%s is said in a sentence', (_, data, wanted) => {
    const attempt = (): Imported => readTimes(typeof data === 'string' ? bytes(data) : data, 10);
    expect(attempt).toThrow(ImportProblem);
    expect(attempt).toThrow(wanted);
  });

  it('never ends in another error, whatever the bytes', () => {
    const text = fc.stringMatching(/^[\d.,:;\s#{}"a-c-]*$/);
    const garbage = fc.oneof(
      fc.uint8Array({ maxLength: 60 }),
      text.map(bytes),
      fc.uint8Array({ maxLength: 60 }).map((rest) => Uint8Array.from([...toMidi(bars('4')).slice(0, 60), ...rest])),
      fc.json().map((json) => bytes(`{"annotations": [{"namespace": "beat_position", "data": [${json}]}]}`)),
    );
    fc.assert(
      fc.property(garbage, (data) => {
        try {
          readTimes(data, 100);
        } catch (error) {
          expect(error).toBeInstanceOf(ImportProblem);
        }
      }),
      { numRuns: runs(300) },
    );
  });
});

it('a MIDI file with a length that leads back is refused, not followed for ever', () => {
  // A text event whose length has six bytes; four are the most (Standard MIDI Files 1.0).
  const event = [0x00, 0xff, 0x7f, 0x8f, 0xff, 0xff, 0xff, 0xff, 0x77, 0x00, 0x00];
  const head = [0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 0, 0, 1, 1, 0xe0, 0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, event.length];
  expect(() => readTimes(Uint8Array.from([...head, ...event]), 60)).toThrow(/damaged or breaks off/);
});

describe('a list of several columns', () => {
  const list = (rows: readonly (readonly (string | number)[])[], by = '\t'): Uint8Array =>
    bytes(rows.map((row) => `${row.join(by)}\n`).join(''));
  const times = Array.from({ length: 9 }, (_, i) => Number((0.6 + 0.5 * i).toFixed(2)));
  const end = (i: number): number => times[i + 1] ?? 5.1;
  const inBar = (i: number): number => (i % 4) + 1;
  const lines = times.filter((_, i) => i % 4 === 0);

  it.each([
    ['time, end, beat of the bar', (i: number) => [end(i), inBar(i)]],
    ['time, end, bar and beat', (i: number) => [end(i), `${Math.floor(i / 4) + 1}.${inBar(i)}`]],
    ['time, bar and beat', (i: number) => [`${Math.floor(i / 4) + 1}.${inBar(i)}`]],
    ['time, bar, beat', (i: number) => [Math.floor(i / 4) + 7, inBar(i)]],
    ['time, beat', (i: number) => [inBar(i)]],
    ['time, beat with a point', (i: number) => [`${inBar(i)}.000`]],
  ])('%s gives beats and bars', (_, behind) => {
    for (const by of ['\t', ' ', ', ', ';']) {
      const found = readTimes(
        list(
          times.map((time, i) => [time, ...behind(i)]),
          by,
        ),
        60,
      );
      expect([beatsIn(found), linesIn(found), found.left], by).toEqual([times, lines, undefined]);
    }
  });

  it('time, end, label gives the times, and says that the labels are left out', () => {
    const found = readTimes(list(times.map((time, i) => [time, end(i), i < 4 ? 'verse' : 'chorus'])), 60);
    expect([beatsIn(found), linesIn(found)]).toEqual([times, []]);
    expect(found.left).toBe('What stands behind the times ("verse") is no number of a beat and is left out.');
    const bars = [0, 2.5, 5].map((time) => [time, time + 2.5, 'G:min']);
    expect(readTimes(list(bars), 60)).toMatchObject({
      barLines: [0, 2.5, 5, 7.5],
      left: expect.stringMatching(/"G:min"/),
    });
  });

  it('time, label and time, beat, label say what is left out', () => {
    expect(readTimes(list(times.map((time) => [time, 'tap'])), 60).left).toMatch(/\("tap"\) is no number of a beat/);
    const both = readTimes(list(times.map((time, i) => [time, inBar(i), 'snare'])), 60);
    expect(linesIn(both)).toEqual(lines);
    expect(both.left).toMatch(/\("snare"\) is no number of a beat/);
  });
});

it('JAMS whose position is an object that is no number is read without that meter', () => {
  const at = (time: number, position: unknown): object => ({
    time,
    duration: 0,
    value: { position, measure: 1, num_beats: 4, beat_units: 4 },
  });
  const data = [at(1, 1), at(1.5, { toString: 1 }), at(2, 3)];
  const found = readTimes(bytes(JSON.stringify({ annotations: [{ namespace: 'beat_position', data }] })), 10);
  expect([beatsIn(found), found.usual]).toEqual([[1, 1.5, 2], undefined]);
});

it('a file too large for times is refused by its size, before it is read', () => {
  expect(() => checkTimesSize(2e9)).toThrow(/The file has 2000 MB, too many for times/);
  expect(() => checkTimesSize(5e7)).not.toThrow();
});
