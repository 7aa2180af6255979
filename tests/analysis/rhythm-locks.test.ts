import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import { holds } from '../../src/model/lock-holds.js';
import type { Lock } from '../../src/model/locks.js';
import type { Bar, LockDraft, Span } from '../../src/model/song-map.js';
import { beatStartsOf, parseMeter } from '../../src/music/meter.js';
import { madeBeats, madeEvidence } from '../support/made-evidence.js';
import { runs } from '../support/runs.js';

const MADE = [...Array<number>(8).fill(4), 2, ...Array<number>(7).fill(4), 3, ...Array<number>(6).fill(4)];
const beats = madeBeats(MADE, (beat) => 0.5 * (1 + 0.02 * Math.sin(beat / 9)), 0.6);
const duration = (beats[beats.length - 1]?.time ?? 0) + 3;
const evidence = madeEvidence(beats, { duration, offBeats: 0.4, noise: 0.5, seed: 3 });

const barsOf = (spans: readonly Span[]): Bar[] => spans.filter((span): span is Bar => span.kind === 'bar');

function isSound(spans: readonly Span[], start: number, end: number): void {
  expect(spans[0]?.start).toBe(start);
  spans.forEach((span, i) => {
    const next = spans[i + 1]?.start ?? end;
    expect(next).toBeGreaterThan(span.start);
    if (span.kind === 'lead-in') expect(i).toBe(0);
    if (span.kind === 'tail') expect(i).toBe(spans.length - 1);
    if (span.kind !== 'bar') return;
    expect(span.beats[0]).toBe(span.start);
    expect(span.beats.length).toBe(beatStartsOf(span.meter));
    span.beats.forEach((beat, k) => expect(span.beats[k + 1] ?? next).toBeGreaterThan(beat));
    expect(span.confidence).toBeGreaterThanOrEqual(0);
    expect(span.confidence).toBeLessThanOrEqual(1);
  });
}

const time = fc.double({ min: 0.2, max: duration - 0.5, noNaN: true }).map((t) => Math.round(t * 1000) / 1000);
const meter = fc.constantFrom('2/4', '3/4', '4/4', '5/4', '6/4', '7/8', '6/8').map(parseMeter);
const stretch = fc
  .tuple(time, time)
  .filter(([a, b]) => Math.abs(a - b) > 1)
  .map(([a, b]) => ({ from: Math.min(a, b), to: Math.max(a, b) }));
const anyDraft: fc.Arbitrary<LockDraft> = fc.oneof(
  time.map((t): LockDraft => ({ kind: 'beat', time: t })),
  time.map((t): LockDraft => ({ kind: 'no-beat', time: t })),
  time.map((t): LockDraft => ({ kind: 'downbeat', time: t })),
  time.map((t): LockDraft => ({ kind: 'not-downbeat', time: t })),
  fc.tuple(time, meter).map(([t, m]): LockDraft => ({ kind: 'bar-length', time: t, meter: m })),
  fc.tuple(stretch, meter).map(([s, m]): LockDraft => ({ kind: 'meter', ...s, meter: m })),
  fc.tuple(stretch, fc.constantFrom(0.25, 0.5, 1)).map(([s, period]): LockDraft => ({ kind: 'tempo', ...s, period })),
  stretch.map((s): LockDraft => ({ kind: 'free', from: s.from, to: Math.min(s.to, s.from + 8) })),
);

/** Adds a lock as a user would: on what the map shows. */
const anyAct = fc.record({
  kind: fc.constantFrom('accept', 'length', 'downbeat', 'not', 'beat', 'delete', 'lines', 'tap'),
  at: fc.nat(1000),
  by: fc.integer({ min: 1, max: 6 }),
});
type Act = typeof anyAct extends fc.Arbitrary<infer T> ? T : never;

function draftOf(act: Act, spans: readonly Span[]): LockDraft | undefined {
  const bars = barsOf(spans).filter((bar) => !bar.pickup);
  const bar = bars[act.at % bars.length];
  if (!bar) return undefined;
  const all = bars.flatMap((one) => one.beats);
  const beat = bar.beats[act.by % bar.beats.length] ?? bar.start;
  const from = all.indexOf(beat);
  switch (act.kind) {
    case 'accept':
      return { kind: 'bar-length', time: bar.start, meter: bar.meter };
    case 'length':
      return { kind: 'bar-length', time: bar.start, meter: { count: act.by, unit: 4, beatUnits: 1 } };
    case 'downbeat':
      return { kind: 'downbeat', time: beat };
    case 'not':
      return { kind: 'not-downbeat', time: beat };
    case 'beat':
      return { kind: 'beat', time: beat + 0.01 * act.by };
    case 'delete':
      return { kind: 'no-beat', time: beat };
    case 'lines':
      return {
        kind: 'bar-lines',
        starts: bars
          .slice(act.at % bars.length)
          .flatMap((one) => one.beats.slice(1, 2))
          .slice(0, act.by),
      };
    case 'tap':
      return { kind: 'tap', beats: all.slice(from, from + 2 + act.by).map((t) => t + 0.004), downbeats: [] };
    default:
      return undefined;
  }
}

describe('locks', () => {
  it('clash when a bar of four has to end on its third beat: no beats are crammed', () => {
    const [start, third] = [beats[8]?.time ?? 0, beats[10]?.time ?? 0];
    const locks: Lock[] = [
      { id: 'L1', kind: 'bar-length', time: start, meter: parseMeter('4/4') },
      { id: 'L2', kind: 'downbeat', time: third },
    ];
    expect(solveRhythm(evidence, locks)).toEqual({ ok: false, conflict: ['L1', 'L2'] });
  });

  it('clash when they put two beats where one is heard', () => {
    const start = beats[8]?.time ?? 0;
    const tapped = beats.slice(8, 12).map((beat) => beat.time + 0.004);
    const locks: Lock[] = [
      { id: 'L1', kind: 'no-beat', time: beats[20]?.time ?? 0 },
      { id: 'L2', kind: 'bar-length', time: start, meter: parseMeter('1/4') },
      { id: 'L3', kind: 'tap', beats: tapped, downbeats: [] },
    ];
    expect(solveRhythm(evidence, locks)).toEqual({ ok: false, conflict: ['L2', 'L3'] });
    expect(solveRhythm(evidence, locks.slice(0, 2)).ok).toBe(true);
    expect(solveRhythm(evidence, locks.slice(2)).ok).toBe(true);
  });

  it('of any kind hold, or a smallest conflict is named', () => {
    fc.assert(
      fc.property(fc.array(anyDraft, { minLength: 1, maxLength: 6 }), (drafts) => {
        const locks = drafts.map((draft, i) => ({ ...draft, id: `L${i + 1}` }) as Lock);
        const outcome = solveRhythm(evidence, locks);
        if (outcome.ok) {
          isSound(outcome.spans, outcome.start, outcome.end);
          for (const lock of locks) expect(holds(outcome.spans, lock, outcome.start, outcome.end)).toBe(true);
          return;
        }
        const { conflict } = outcome;
        expect(conflict.length).toBeGreaterThan(0);
        const named = locks.filter((lock) => conflict.includes(lock.id));
        expect(named.map((lock) => lock.id)).toEqual(conflict);
        expect(solveRhythm(evidence, named).ok).toBe(false);
        for (const lock of named)
          expect(
            solveRhythm(
              evidence,
              named.filter((other) => other !== lock),
            ).ok,
          ).toBe(true);
      }),
      { numRuns: runs(25) },
    );
  });

  it('set one after the other on what is shown all stay, exactly', () => {
    fc.assert(
      fc.property(fc.array(anyAct, { minLength: 1, maxLength: 10 }), (acts) => {
        let locks: Lock[] = [];
        let spans = (solveRhythm(evidence, []) as { spans: readonly Span[] }).spans;
        acts.forEach((act, i) => {
          const draft = draftOf(act, spans);
          if (!draft) return;
          const next = [...locks, { ...draft, id: `L${i + 1}` } as Lock];
          const outcome = solveRhythm(evidence, next);
          if (!outcome.ok) {
            // Only a lock that meets an older one can fail.
            expect(outcome.conflict.length).toBeGreaterThan(1);
            expect(outcome.conflict).toContain(`L${i + 1}`);
            return;
          }
          isSound(outcome.spans, outcome.start, outcome.end);
          for (const lock of next) expect(holds(outcome.spans, lock, outcome.start, outcome.end)).toBe(true);
          locks = next;
          spans = outcome.spans;
        });
      }),
      { numRuns: runs(20) },
    );
  });

  it('taken from a whole solved map give that map again', () => {
    const first = solveRhythm(evidence, []);
    if (!first.ok) throw new Error('a conflict without locks');
    const bars = barsOf(first.spans);
    const accepted = bars.map(
      (bar, i) => ({ kind: 'bar-length', time: bar.start, meter: bar.meter, id: `L${i}` }) as Lock,
    );
    const tapped: Lock[] = [
      { id: 'T', kind: 'tap', beats: bars.flatMap((bar) => bar.beats), downbeats: bars.map((bar) => bar.start) },
    ];
    for (const locks of [accepted, tapped]) {
      const again = solveRhythm(evidence, locks);
      if (!again.ok) throw new Error(`a conflict of ${again.conflict.join(', ')}`);
      expect(barsOf(again.spans).map((bar) => bar.beats)).toEqual(bars.map((bar) => bar.beats));
    }
  });
});
