import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { setBarBeats, setDownbeat, setMeter, lockBar, clearDownbeat } from '../../src/model/edits/bars.js';
import { addBeat, deleteBeat, setFree, tapBeats } from '../../src/model/edits/beats.js';
import { doubleTempo, halveTempo } from '../../src/model/edits/level.js';
import { liftLock } from '../../src/model/edits/lift.js';
import { EditProblem } from '../../src/model/edits/problem.js';
import { scaleMeter } from '../../src/model/edits/relevel.js';
import { check } from '../../src/model/invariants.js';
import { holds } from '../../src/model/lock-holds.js';
import type { Lock } from '../../src/model/locks.js';
import { barEnd, barsOf, beatTimes } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { beatsOf, meterText, parseMeter } from '../../src/music/meter.js';
import { mapArbitrary } from '../support/arbitraries.js';
import { bars, text } from '../support/notation.js';
import { runs } from '../support/runs.js';

type Change = readonly ((map: SongMap) => SongMap)[];

/** Locks but those on the tempo. */
const others = (map: SongMap): readonly Lock[] => map.locks.filter((lock) => lock.kind !== 'tempo');
const tempi = (map: SongMap): readonly (readonly [number, number, number])[] =>
  map.locks.flatMap((lock) => (lock.kind === 'tempo' ? [[lock.from, lock.to, lock.period] as const] : []));

/** Locks that say what the map does already: any of these hold. */
type Told = {
  readonly kind: 'bar' | 'downbeat' | 'beat' | 'no-beat' | 'not-downbeat' | 'tap' | 'taps';
  readonly at: number;
};
const toldArbitrary: fc.Arbitrary<Told> = fc.record({
  kind: fc.constantFrom('bar', 'downbeat', 'beat', 'no-beat', 'not-downbeat', 'tap', 'taps'),
  at: fc.noBias(fc.integer({ min: 0, max: 999 })).map((n) => n / 1000),
});

function told(map: SongMap, { kind, at }: Told): SongMap {
  const all = barsOf(map);
  const index = Math.floor(at * all.length);
  const bar = all[index]!;
  const beats = beatTimes(map).filter(
    (time) => time >= bar.start && time < barEnd(map, Math.min(index + 1, all.length - 1)),
  );
  const isOneRun = all[index + 1] === undefined || all[index + 1]!.start === barEnd(map, index);
  if (kind === 'bar') return lockBar(map, index);
  if (kind === 'downbeat') return bar.pickup ? map : setDownbeat(map, bar.start);
  if (kind === 'beat') return addBeat(map, bar.beats[bar.beats.length - 1]!);
  if (kind === 'no-beat') return deleteBeat(map, bar.start + 0.25 * 0.5);
  if (kind === 'not-downbeat') return bar.beats[1] === undefined ? map : clearDownbeat(map, bar.beats[1]);
  if (beats.length < 2 || !isOneRun) return map;
  return tapBeats(map, beats, kind === 'tap' ? [] : all.filter((b) => !b.pickup).map((b) => b.start));
}

/** The map after a change; the map itself where the change would be too slow or too fast to count. */
function ifPossible(map: SongMap, change: (map: SongMap) => SongMap): SongMap {
  try {
    return change(map);
  } catch (error) {
    if (error instanceof EditProblem) return map;
    throw error;
  }
}

describe('half the tempo', () => {
  it('takes every second beat of each bar, which keeps its start and end', () => {
    const map = halveTempo(bars('4 2 3 4'));
    expect(text(map)).toBe('2 1 1.5 2');
    expect(barsOf(map).map((bar) => bar.start)).toEqual(barsOf(bars('4 2 3 4')).map((bar) => bar.start));
    expect(beatTimes(map)).toEqual([0, 1, 2, 3, 4, 4.5, 5.5]);
  });

  it('locks the tempo as it is then, over the whole map', () => {
    const map = halveTempo(bars('- 4 4 4 -'));
    expect(tempi(map)).toEqual([[0, 7, 1]]);
  });

  it('locks several tempi where it changes much along the way', () => {
    const slow = bars('4 4 4 4');
    const spans = slow.spans.map((span, i) => {
      if (span.kind !== 'bar' || i < 2) return span;
      const start = 4 + (i - 2) * 1.2;
      return { ...span, start, beats: [0, 1, 2, 3].map((n) => start + n * 0.3) };
    });
    const faster = halveTempo({ ...slow, spans, end: 6.4, sections: [{ ...slow.sections[0]!, start: 0 }] });
    expect(tempi(faster).length).toBe(2);
    expect(tempi(faster)[0]![1]).toBe(4);
    // Each within a fifth of every beat it covers: 1 s and less towards the change, 0.6 s after it.
    expect(tempi(faster)[0]![2]).toBeCloseTo(0.92, 2);
    expect(tempi(faster)[1]![2]).toBeCloseTo(0.66, 1);
  });

  it('says a locked bar length at the new tempo: the same music, half the beats', () => {
    const map = halveTempo(setBarBeats(setBarBeats(bars('4 2 3'), 1, 2), 2, 3));
    expect(others(map)).toMatchObject([
      { kind: 'bar-length', time: 2, meter: { count: 1, unit: 4, beatUnits: 1 } },
      { kind: 'bar-length', time: 3, meter: { count: 3, unit: 8, beatUnits: 2 } },
    ]);
  });

  it('leaves a time signature its name, unless the user fixed a bar of it', () => {
    const free = setMeter(bars('4 4 4'), 0, 6, parseMeter('4/4'));
    const fixed = lockBar(free, 1);
    const meters = (map: SongMap): string[] =>
      map.locks.flatMap((lock) => (lock.kind === 'meter' ? [meterText(lock.meter)] : []));
    expect(meters(halveTempo(free))).toEqual(['4/4']);
    expect(meters(halveTempo(fixed))).toEqual(['2/4']);
    expect(meters(doubleTempo(fixed))).toEqual(['8/4']);
    const between = setDownbeat(setDownbeat(free, 2), 4);
    expect(meters(halveTempo(between))).toEqual(['2/4']);
  });

  it('takes tapped beats with it and brings them back', () => {
    const tapped = tapBeats(bars('4 4'), [0, 0.5, 1, 1.5, 2, 2.5], [0, 2]);
    const halved = halveTempo(tapped);
    expect(others(halved)).toMatchObject([{ kind: 'tap', beats: [0, 1, 2], downbeats: [0, 2] }]);
    expect(others(doubleTempo(halved))).toEqual(others(tapped));
  });

  it('puts a lock on a beat that goes out of force, and doubling brings it back', () => {
    const locked = addBeat(addBeat(bars('4 4'), 0.5), 1);
    const halved = halveTempo(locked);
    expect(others(halved)).toMatchObject([{ kind: 'beat', time: 1 }]);
    expect(others(doubleTempo(halved))).toEqual(others(locked));
  });

  it('brings back the newest lock too, its id not given to another meanwhile', () => {
    const locked = addBeat(bars('4 4'), 0.5);
    const halved = halveTempo(locked);
    expect(halved.locks.map(({ id }) => id)).toEqual(['L2']);
    expect(others(doubleTempo(halved))).toEqual(locked.locks);
  });

  it('does not bring back what the user decided otherwise in between', () => {
    const halved = halveTempo(tapBeats(addBeat(bars('4 4'), 3.5), [0, 0.5, 1, 1.5], []));
    const tap = others(halved).find((lock) => lock.kind === 'tap')!;
    expect(others(doubleTempo(liftLock(halved, tap.id)))).toMatchObject([{ kind: 'beat', time: 3.5 }]);
    const refused = doubleTempo(deleteBeat(halved, 3.45));
    expect(others(refused).some((lock) => lock.kind === 'beat')).toBe(false);
  });

  it('in a part of the map leaves the rest alone', () => {
    const map = halveTempo(setBarBeats(setBarBeats(bars('4 4 4 4'), 0, 4), 2, 4), 4.2, 5);
    expect(text(map)).toBe('4 4 2 4');
    expect(tempi(map)).toEqual([[4, 6, 1]]);
    expect(others(map).map((lock) => (lock.kind === 'bar-length' ? beatsOf(lock.meter) : 0))).toEqual([4, 2]);
  });

  it('replaces the tempo locked before over the same stretch, and cuts one that reaches beyond', () => {
    const map = doubleTempo(halveTempo(bars('4 4 4 4')), 0, 4);
    expect(tempi(map)).toEqual([
      [4, 8, 1],
      [0, 4, 0.5],
    ]);
    expect(text(map)).toBe('4 4 2 2');
  });

  it('keeps bar lines, free time and edges', () => {
    const map = setDownbeat(setFree(bars('4 4 4'), 4, 6), 2);
    expect(others(halveTempo(map))).toEqual(map.locks);
  });

  it('refuses without beats, and beyond what can be counted', () => {
    expect(() => halveTempo(bars('~'))).toThrow(/no beats there/);
    expect(() => halveTempo(bars('4 4', { beat: 3.1 }))).toThrow(/Half of 19 bpm would be too slow/);
    expect(() => doubleTempo(bars('4 4', { beat: 0.15 }))).toThrow(/Twice 400 bpm would be too fast/);
  });
});

describe('twice the tempo', () => {
  it('puts a beat half-way between every two', () => {
    expect(text(doubleTempo(bars('4 2 3.5 6/8')))).toBe('8 4 7 12/8');
    expect(beatTimes(doubleTempo(bars('2 1')))).toEqual([0, 0.25, 0.5, 0.75, 1, 1.25]);
    expect(beatTimes(doubleTempo(bars('1.5')))).toEqual([0, 0.25, 0.5]);
  });

  it('puts "no beat" half-way between beats out of force until it is halved again', () => {
    const map = deleteBeat(deleteBeat(bars('4 4'), 0.25), 0.88);
    const doubled = doubleTempo(map);
    expect(others(doubled)).toMatchObject([{ kind: 'no-beat', time: 0.88 }]);
    expect(others(halveTempo(doubled))).toEqual(others(map));
  });
});

describe('half and double tempo in turn', () => {
  it('give back the map and every lock on it', () => {
    const steps = fc.constantFrom(
      [halveTempo, doubleTempo],
      [doubleTempo, halveTempo],
      [halveTempo, halveTempo, doubleTempo, doubleTempo],
      [halveTempo, doubleTempo, doubleTempo, halveTempo],
    );
    fc.assert(
      fc.property(mapArbitrary(), fc.array(toldArbitrary, { maxLength: 8 }), steps, (map, tells, changes) => {
        const start = tells.reduce(told, map);
        // Halved twice, such bars cannot be written: the first view of them, before the solver's, is too coarse to go back.
        fc.pre(!(changes[1] === halveTempo && /\.5|7\/8/.test(text(start))));
        const back = changes.reduce<SongMap>((now, change) => change(now), start);
        expect(others(back)).toEqual(others(start));
        if (!changes.includes(halveTempo) || text(start).includes('0.5')) return;
        expect(barsOf(back).map((bar) => bar.start)).toEqual(barsOf(start).map((bar) => bar.start));
      }),
      { numRuns: runs(80) },
    );
  });

  it('keep every lock that is in force holding, and the map sound', () => {
    fc.assert(
      fc.property(
        mapArbitrary(),
        fc.array(toldArbitrary, { maxLength: 8 }),
        // Two halvings running may give bars too short to be written; the solver then finds other ones.
        fc.constantFrom<Change[]>(
          [halveTempo],
          [doubleTempo],
          [halveTempo, doubleTempo],
          [doubleTempo, halveTempo],
          [doubleTempo, doubleTempo],
        ),
        (map, tells, changes) => {
          const start = tells.reduce(told, map);
          expect(start.locks.filter((lock) => !holds(start.spans, lock, start.start, start.end))).toEqual([]);
          const now = changes.reduce<SongMap>(ifPossible, start);
          expect(check(now)).toEqual([]);
          expect(now.locks.filter((lock) => !holds(now.spans, lock, now.start, now.end))).toEqual([]);
        },
      ),
      { numRuns: runs(80) },
    );
  });
});

describe('a measure at another tempo', () => {
  it.each([
    ['4/4', 0.5, '2/4'],
    ['3/4', 0.5, '3/8'],
    ['6/8', 0.5, '3/8'],
    ['7/8 (2+2+3)', 0.5, '7/16 (2+2+3)'],
    ['4/4', 2, '8/4'],
    ['6/8', 2, '12/8'],
    ['1/16', 0.5, undefined],
  ] as const)('%s by %s is %s', (meter, factor, expected) => {
    const scaled = scaleMeter(parseMeter(meter), factor);
    expect(scaled && meterText(scaled)).toBe(expected);
  });

  it('has half or twice the beats', () => {
    for (const meter of ['4/4', '3/4', '6/8', '12/8', '7/8 (2+2+3)', '5/4'].map(parseMeter)) {
      expect(beatsOf(scaleMeter(meter, 2)!)).toBe(2 * beatsOf(meter));
      expect(beatsOf(scaleMeter(meter, 0.5)!)).toBe(beatsOf(meter) / 2);
    }
  });
});
