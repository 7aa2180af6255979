import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { SILENT_PROGRESS } from '../../src/analysis/progress.js';
import { ANALYSIS_RATE } from '../../src/analysis/evidence/signal.js';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import type { Bar, Doubt, LockDraft, Span } from '../../src/model/song-map.js';
import { meterText, type Meter } from '../../src/music/meter.js';
import { loadTools } from '../../src/platform/worker/tools-loader.js';
import { fMeasure } from '../bench/measures/beat.js';
import { PlayedBand } from '../support/played-band.js';

interface Solved {
  readonly evidence: Evidence;
  readonly spans: readonly Span[];
  readonly doubts: readonly Doubt[];
  readonly prevailing: Meter;
}

function solve(evidence: Evidence, ...drafts: LockDraft[]): Solved {
  const outcome = solveRhythm(
    evidence,
    drafts.map((draft, i) => ({ ...draft, id: `L${i + 1}` })),
  );
  if (!outcome.ok) throw new Error('a conflict');
  return { evidence, ...outcome };
}

async function heard({ signal }: PlayedBand): Promise<Solved> {
  return solve(await analyse(signal, await loadTools(), SILENT_PROGRESS));
}

const barsOf = ({ spans }: Solved): Bar[] => spans.filter((span): span is Bar => span.kind === 'bar');
const beatsOf = (solved: Solved): number[] => barsOf(solved).flatMap(({ beats }) => [...beats]);
const linesOf = (solved: Solved): number[] => barsOf(solved).flatMap((bar) => (bar.pickup ? [] : [bar.start]));
const free = ({ doubts }: Solved): Doubt[] => doubts.filter(({ kind }) => kind === 'free');
const within = (times: readonly number[], from: number, to: number): number[] =>
  times.filter((time) => time > from && time < to);

describe('a band that is played', () => {
  it.each([true, false])('in 12/8 is counted in dotted quarters, with drums: %s', async (drums) => {
    const band = new PlayedBand(56);
    band.play(0.6, 60, () => 0.9, { parts: 3, drums });
    const solved = await heard(band);
    expect(meterText(solved.prevailing)).toBe('12/8');
    expect(solved.prevailing.beatUnits).toBe(3);
    expect(fMeasure(band.beats, beatsOf(solved))).toBeGreaterThan(0.97);
    expect(fMeasure(band.lines, linesOf(solved))).toBeGreaterThan(0.95);
  });

  it('slows down at the end and is followed', async () => {
    const band = new PlayedBand(68);
    band.play(0.5, 96, (i) => 0.6 * (1 + 0.04 * Math.max(0, i - 90)));
    const solved = await heard(band);
    const [from, to] = [45, (band.beats.at(-1) ?? 0) + 0.1];
    expect(fMeasure(within(band.beats, from, to), within(beatsOf(solved), from, to))).toBeGreaterThan(0.97);
    expect(fMeasure(within(band.lines, from, to), within(linesOf(solved), from, to))).toBeGreaterThan(0.97);
  });

  it('without drums has its beats and bar lines, and no free time', async () => {
    const band = new PlayedBand(68);
    band.play(0.5, 104, () => 0.62, { drums: false });
    const solved = await heard(band);
    expect(fMeasure(band.beats, beatsOf(solved))).toBeGreaterThan(0.97);
    expect(fMeasure(band.lines, linesOf(solved))).toBeGreaterThan(0.95);
    expect(free(solved)).toEqual([]);
  });
});

describe('free time', () => {
  it('is offered for a beginning without a pulse', async () => {
    const band = new PlayedBand(70);
    band.ramble(0.5, 12);
    band.play(12.6, 90, () => 0.6);
    const solved = await heard(band);
    const [doubt] = free(solved);
    expect(free(solved).length).toBe(1);
    const [lock] = doubt?.other ?? [];
    if (lock?.kind !== 'free') throw new Error('no free time is offered');
    expect(lock.from).toBeLessThan(3);
    // To the bar: the last notes of the free part happen to lie on the beats that follow.
    expect(Math.abs(lock.to - 12.6)).toBeLessThan(2.5);
    // Taken, the band's bars follow, and nothing more is asked there; kept, the same.
    const taken = solve(solved.evidence, lock);
    expect(taken.spans[0]?.kind).toBe('free');
    expect(fMeasure(band.lines, within(linesOf(taken), 12.5, 66))).toBeGreaterThan(0.95);
    for (const after of [taken, solve(solved.evidence, ...(doubt?.keep ?? []))]) expect(free(after)).toEqual([]);
  });

  it('is offered in between and at the end, for what is played freely and for a held chord', async () => {
    const band = new PlayedBand(80);
    const first = band.play(0.5, 44, () => 0.6);
    band.ramble(first + 0.3, first + 12);
    const last = band.play(first + 12.4, 40, () => 0.6);
    band.hold(last, 14);
    const solved = await heard(band);
    const offered = free(solved).map(({ other }) => other[0] as Extract<LockDraft, { kind: 'free' }>);
    expect(offered.length).toBe(2);
    offered.sort((a, b) => a.from - b.from);
    expect(offered[0]?.from).toBeGreaterThan(first - 3);
    expect(offered[0]?.to).toBeLessThan(first + 15);
    expect(offered[1]?.from).toBeGreaterThan(last - 3);
    expect(fMeasure(within(band.beats, 5, first), within(beatsOf(solved), 5, first))).toBeGreaterThan(0.97);
  });
});

describe('the ends of the music', () => {
  it('are asked about where something sounds outside the bars, and only there', async () => {
    const band = new PlayedBand(80);
    band.play(1, 108, () => 0.6);
    // Four bars at the beginning so soft that they count as silence: -52 dB.
    const softUntil = Math.round(10.55 * ANALYSIS_RATE);
    for (let i = 0; i < softUntil; i++) band.signal[i] = 0.0025 * (band.signal[i] as number);
    const solved = await heard(band);
    expect(barsOf(solved)[0]?.start).toBeCloseTo(10.6, 1);
    const edges = solved.doubts.filter(({ kind }) => kind === 'edge');
    expect(edges.map(({ time }) => time)).toEqual([barsOf(solved)[0]?.start]);
    const [doubt] = edges as [Doubt];
    const taken = solve(solved.evidence, ...doubt.other);
    expect(barsOf(taken)[0]?.start).toBeCloseTo(1, 1);
    expect(barsOf(taken).filter(({ start }) => start < 10.5).length).toBe(4);
    expect(solve(solved.evidence, ...doubt.keep).doubts.filter(({ kind }) => kind === 'edge')).toEqual([]);
  });
});
