import { describe, expect, it } from 'vitest';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { solveRhythm, type RhythmOutcome } from '../../src/analysis/solve-rhythm.js';
import type { Lock } from '../../src/model/locks.js';
import type { Bar, LockDraft } from '../../src/model/song-map.js';
import { beatsOf, meterText, parseMeter, type Meter } from '../../src/music/meter.js';
import { madeBeats, madeEvidence, type MadeBeat, type MadeOptions } from '../support/made-evidence.js';

type Solved = Extract<RhythmOutcome, { ok: true }>;

function song(beats: readonly MadeBeat[], options: Partial<MadeOptions> = {}): Evidence {
  return madeEvidence(beats, { duration: (beats[beats.length - 1]?.time ?? 0) + 2.5, ...options });
}

function solved(evidence: Evidence, ...drafts: LockDraft[]): Solved {
  const outcome = solveRhythm(evidence, locked(drafts));
  if (!outcome.ok) throw new Error(`a conflict of ${outcome.conflict.join(', ')}`);
  return outcome;
}

const locked = (drafts: readonly LockDraft[]): Lock[] =>
  drafts.map((draft, i) => ({ ...draft, id: `L${i + 1}` }) as Lock);
const barsIn = (outcome: Solved): Bar[] => outcome.spans.filter((span): span is Bar => span.kind === 'bar');
const lengths = (outcome: Solved): string =>
  barsIn(outcome)
    .map((bar) => `${bar.pickup ? 'p' : ''}${beatsOf(bar.meter)}`)
    .join(' ');
const starts = (outcome: Solved): number[] => barsIn(outcome).map((bar) => bar.start);
const repeat = (length: number, times: number): number[] => Array<number>(times).fill(length);
const said = (values: readonly number[]): string => values.join(' ');

/** Largest distance, in seconds, between the bars' beats and the made ones. */
function worstBeat(outcome: Solved, beats: readonly MadeBeat[]): number {
  const found = barsIn(outcome).flatMap((bar) => bar.beats);
  return Math.max(...beats.map(({ time }) => Math.min(...found.map((beat) => Math.abs(beat - time)))));
}

const four = madeBeats(repeat(4, 40), 0.5);
const fourFour = song(four, { offBeats: 0.4 });
const threeFour = parseMeter('3/4');

describe('beats and bars without locks', () => {
  it.each([66, 80, 95, 120, 140, 168])('are those of a drummer at %i beats a minute', (bpm) => {
    const beats = madeBeats(repeat(4, Math.round(bpm / 3)), 60 / bpm, 0.7);
    const outcome = solved(song(beats, { offBeats: 0.3 }));
    expect(outcome.prevailing).toEqual({ count: 4, unit: 4, beatUnits: 1 });
    expect(lengths(outcome)).toBe(said(repeat(4, Math.round(bpm / 3))));
    expect(worstBeat(outcome, beats)).toBeLessThan(0.006);
  });

  it('follow people who drift', () => {
    const beats = madeBeats(repeat(4, 50), (beat) => 0.55 * (1 + 0.05 * Math.sin(beat / 30)));
    const outcome = solved(song(beats, { offBeats: 0.3, noise: 0.4 }));
    expect(lengths(outcome)).toBe(said(repeat(4, 50)));
    expect(worstBeat(outcome, beats)).toBeLessThan(0.02);
  });

  it('find bars of another length, and the pickup', () => {
    const made = [...repeat(4, 12), 2, ...repeat(4, 9), 6, ...repeat(4, 11), 3, ...repeat(4, 8)];
    expect(lengths(solved(song(madeBeats(made, 0.5), { offBeats: 0.3 })))).toBe(said(made));
    const upbeat = madeBeats([4, ...made], 0.5).slice(3);
    expect(lengths(solved(song(upbeat, { offBeats: 0.3 })))).toBe(`p1 ${said(made)}`);
  });

  it('begin with a rest where the music comes in on the second beat', () => {
    const late = song(madeBeats(repeat(4, 30), 0.5).slice(1), { offBeats: 0.3 });
    const outcome = solved(late);
    expect(lengths(outcome)).toBe(said(repeat(4, 30)));
    expect(starts(outcome)[0]).toBeCloseTo(0.5, 2);
    // Who says that the first beat heard begins a bar of three is not overruled.
    const locks: LockDraft[] = [{ kind: 'bar-length', time: 1, meter: threeFour }];
    expect(lengths(solved(late, ...locks))).toBe(said([3, ...repeat(4, 29)]).replace('3', 'p3'));
  });

  it('are found from harmony alone', () => {
    const made = [...repeat(4, 14), 2, ...repeat(4, 14)];
    const outcome = solved(song(madeBeats(made, 0.55), { plain: true }));
    expect(lengths(outcome)).toBe(said(made));
  });

  it('are found from drums alone', () => {
    const outcome = solved(song(four, { offBeats: 0.4, noHarmony: true }));
    expect(outcome.prevailing.count).toBe(4);
    expect(starts(outcome)[3]).toBeCloseTo(6.5, 2);
  });

  it('know three from four', () => {
    const outcome = solved(song(madeBeats(repeat(3, 50), 0.5)));
    expect(meterText(outcome.prevailing)).toBe('3/4');
    expect(lengths(outcome)).toBe(said(repeat(3, 50)));
  });

  it('know 6/8, its beat the dotted quarter', () => {
    // Two dotted quarters a bar at 66, the other eighths softly between.
    const eighths = madeBeats(repeat(6, 40), 60 / 66 / 3);
    const evidence = song(eighths, { sixEight: true });
    const outcome = solved(evidence);
    expect(meterText(outcome.prevailing)).toBe('6/8');
    expect(outcome.prevailing.beatUnits).toBe(3);
    expect(lengths(outcome)).toBe(said(repeat(2, 40)));
  });

  it('are sure where all is clear, less so where a bar is odd', () => {
    const outcome = solved(fourFour);
    expect(Math.min(...barsIn(outcome).map((bar) => bar.confidence))).toBeGreaterThan(0.95);
    expect(outcome.doubts.filter((doubt) => doubt.kind !== 'level')).toEqual([]);
  });

  it('tile the recording, silent ends included', () => {
    const evidence = madeEvidence(madeBeats(repeat(4, 20), 0.5, 3), { duration: 50, offBeats: 0.3 });
    const outcome = solved(evidence);
    expect(outcome.spans.map((span) => span.kind)).toEqual(['lead-in', ...repeat(0, 20).map(() => 'bar'), 'tail']);
    expect(outcome.spans[0]?.start).toBe(0);
    expect(outcome.end).toBe(50);
  });

  it('exist even where nothing is heard', () => {
    const outcome = solved(madeEvidence([], { duration: 20, noHarmony: true }));
    expect(outcome.spans.length).toBeGreaterThan(0);
    expect(outcome.spans[0]?.start).toBe(0);
  });
});

describe('one lock', () => {
  it('moves all bar lines after it', () => {
    const outcome = solved(fourFour, { kind: 'downbeat', time: 21 });
    const after = starts(outcome).filter((start) => start >= 21);
    expect(after[0]).toBe(21);
    expect(after.slice(0, -1).every((start, i) => Math.abs((after[i + 1] as number) - start - 2) < 0.02)).toBe(true);
  });

  it('moves them only up to the next irregular bar', () => {
    const made = [...repeat(4, 20), 2, ...repeat(4, 20)];
    const evidence = song(madeBeats(made, 0.5), { offBeats: 0.3 });
    const outcome = solved(evidence, { kind: 'downbeat', time: 21 });
    expect(starts(outcome)).toContain(21);
    // Bar 30 of the made song, after its bar of 2.
    const later = 0.5 + 0.5 * (20 * 4 + 2 + 8 * 4);
    expect(starts(outcome).some((start) => Math.abs(start - later) < 0.02)).toBe(true);
  });

  it('gives one bar its length and moves what follows', () => {
    const before = solved(fourFour);
    const bar = barsIn(before)[9] as Bar;
    const outcome = solved(fourFour, { kind: 'bar-length', time: bar.start, meter: threeFour });
    expect(lengths(outcome).split(' ').slice(8, 14)).toEqual(['4', '3', '4', '4', '4', '4']);
    expect(starts(outcome).slice(0, 10)).toEqual(starts(before).slice(0, 10));
  });

  it('cuts half a beat off a bar: the next bar comes half a beat sooner', () => {
    const cut = madeBeats(repeat(4, 12), 0.5);
    const end = (cut[cut.length - 1]?.time ?? 0) + 0.25;
    const evidence = song(
      [...cut, ...madeBeats(repeat(4, 12), 0.5, end).map((beat) => ({ ...beat, chord: beat.chord + 12 }))],
      { offBeats: 0.2 },
    );
    const outcome = solved(evidence, { kind: 'bar-length', time: 22.5, meter: { count: 7, unit: 8, beatUnits: 2 } });
    const bars = barsIn(outcome);
    const at = bars.findIndex((bar) => bar.start === 22.5);
    expect(bars[at]?.beats.length).toBe(4);
    expect(bars[at + 1]?.start).toBeCloseTo(end, 2);
    expect(lengths(outcome)).toBe(said([...repeat(4, 11), 3.5, ...repeat(4, 12)]));
  });

  it('puts a bar of 6/8 among 4/4, its eighths as long as theirs', () => {
    const outcome = solved(fourFour, { kind: 'bar-length', time: 20.5, meter: parseMeter('6/8') });
    const bars = barsIn(outcome);
    const at = bars.findIndex((bar) => bar.start === 20.5);
    expect(bars[at]?.beats.length).toBe(2);
    expect(bars[at + 1]?.start).toBeCloseTo(22, 1);
  });

  it('moves all beats after a bar line set between them', () => {
    const outcome = solved(fourFour, { kind: 'downbeat', time: 20.25 });
    const beats = barsIn(outcome).flatMap((bar) => bar.beats);
    expect(
      beats
        .filter((beat) => beat > 21)
        .every((beat) => Math.abs(((beat + 0.25) % 0.5) - 0) < 0.03 || Math.abs(((beat + 0.25) % 0.5) - 0.5) < 0.03),
    ).toBe(true);
  });

  it.each([
    [1, 0.5],
    [0.25, 2],
  ])('counts the whole song with a beat of %f s', (period, factor) => {
    const outcome = solved(fourFour, { kind: 'tempo', from: 0, to: fourFour.duration, period });
    const beats = barsIn(outcome).flatMap((bar) => bar.beats);
    expect(Math.abs(beats.length - 160 * factor)).toBeLessThanOrEqual(4 * factor);
    expect(starts(outcome)[0]).toBeCloseTo(0.5, 1);
  });

  it('counts a stretch twice as fast, from bar line to bar line', () => {
    const outcome = solved(fourFour, { kind: 'tempo', from: 36.5, to: 44.5, period: 0.25 });
    const beats = barsIn(outcome).flatMap((bar) => bar.beats);
    expect(beats.filter((beat) => beat > 36.4 && beat < 44.4).length).toBe(32);
    expect(beats.filter((beat) => beat < 36.4).length).toBe(72);
    expect(starts(outcome).some((start) => Math.abs(start - 44.5) < 0.02)).toBe(true);
  });

  it('sets the time signature of the whole song or of a part', () => {
    const whole = solved(fourFour, { kind: 'meter', from: 0, to: fourFour.duration, meter: threeFour });
    expect(whole.prevailing).toEqual(threeFour);
    expect(barsIn(whole).filter((bar) => bar.beats.length === 3).length).toBeGreaterThan(45);
    const part = solved(fourFour, { kind: 'meter', from: 20.5, to: 44.5, meter: threeFour });
    expect(part.prevailing.count).toBe(4);
    expect(
      barsIn(part).filter((bar) => bar.start >= 20.5 && bar.start < 44 && bar.beats.length === 3).length,
    ).toBeGreaterThan(13);
  });

  it('counts 3/4 as 6/8: the bars stay, the beats change', () => {
    const waltz = song(madeBeats(repeat(3, 50), 0.5));
    const before = solved(waltz);
    const meter = parseMeter('6/8');
    const after = solved(waltz, { kind: 'meter', from: 0, to: waltz.duration, meter });
    expect(after.prevailing).toEqual(meter);
    const near = (time: number): boolean => starts(after).some((start) => Math.abs(start - time) < 0.05);
    expect(starts(before).slice(2, 45).every(near)).toBe(true);
  });

  it('keeps a grouping, and bars of half beats, over a stretch', () => {
    const meter: Meter = { count: 7, unit: 8, beatUnits: 2, grouping: [2, 2, 3] };
    const outcome = solved(fourFour, { kind: 'meter', from: 0, to: fourFour.duration, meter });
    const usual = barsIn(outcome).filter((bar) => bar.meter === meter || bar.meter.grouping !== undefined);
    expect(usual.length).toBeGreaterThan(35);
    expect(usual.every((bar) => bar.beats.length === 4)).toBe(true);
  });

  it('begins behind free time with a pickup where the music does', () => {
    const outcome = solved(fourFour, { kind: 'free', from: 30, to: 41.8 });
    const after = barsIn(outcome).filter((bar) => bar.start > 40);
    expect(after.slice(0, 3).map((bar) => `${bar.pickup ? 'p' : ''}${beatsOf(bar.meter)}`)).toEqual(['p1', '4', '4']);
    expect(after[1]?.start).toBeCloseTo(42.5, 2);
  });

  it('makes a stretch free of beats', () => {
    const outcome = solved(fourFour, { kind: 'free', from: 30, to: 40 });
    expect(outcome.spans.filter((span) => span.kind === 'free').length).toBe(1);
    expect(barsIn(outcome).some((bar) => bar.beats.some((beat) => beat > 30 && beat < 39.99))).toBe(false);
  });

  it('sets where the map begins and ends', () => {
    const outcome = solved(
      fourFour,
      { kind: 'edge', edge: 'start', time: 20 },
      { kind: 'edge', edge: 'end', time: 60 },
    );
    expect([outcome.start, outcome.end, outcome.spans[0]?.start]).toEqual([20, 60, 20]);
    expect(barsIn(outcome).every((bar) => bar.beats.every((beat) => beat >= 20 && beat < 60))).toBe(true);
  });

  it('leaves the same answer on a second solve', () => {
    const drafts: LockDraft[] = [{ kind: 'bar-length', time: 20.5, meter: threeFour }];
    expect(solved(fourFour, ...drafts)).toEqual(solved(fourFour, ...drafts));
  });
});

describe('locks that cannot all hold', () => {
  const conflictOf = (...drafts: LockDraft[]): readonly string[] => {
    const outcome = solveRhythm(fourFour, locked(drafts));
    return outcome.ok ? [] : outcome.conflict;
  };

  it('are named, the newest last, and no others', () => {
    expect(
      conflictOf(
        { kind: 'bar-length', time: 8.5, meter: threeFour },
        { kind: 'beat', time: 40 },
        { kind: 'not-downbeat', time: 60.5 },
        { kind: 'no-beat', time: 40.03 },
      ),
    ).toEqual(['L2', 'L4']);
    expect(conflictOf({ kind: 'downbeat', time: 20.5 }, { kind: 'not-downbeat', time: 20.52 })).toEqual(['L1', 'L2']);
    expect(conflictOf({ kind: 'free', from: 20, to: 30 }, { kind: 'beat', time: 25 })).toEqual(['L1', 'L2']);
  });

  it('may be one alone', () => {
    expect(conflictOf({ kind: 'beat', time: 20 }, { kind: 'beat', time: fourFour.duration + 5 })).toEqual(['L2']);
  });

  it('may be a fixed length against tapped bars', () => {
    expect(
      conflictOf(
        { kind: 'bar-length', time: 20.5, meter: parseMeter('2/4') },
        { kind: 'tap', beats: [20.5, 21, 21.5, 22, 22.5], downbeats: [20.5, 22.5] },
      ),
    ).toEqual(['L1', 'L2']);
  });
});

describe('doubts', () => {
  it('offer readings that hold when taken, worst first', () => {
    const made = [...repeat(4, 6), 3, ...repeat(4, 5), 2, ...repeat(4, 6), 5, ...repeat(4, 8)];
    const evidence = song(madeBeats(made, 0.5), { offBeats: 0.5, noise: 1, seed: 7, plain: true });
    const { doubts } = solved(evidence);
    expect(doubts.length).toBeGreaterThan(0);
    expect(doubts.map(({ weight }) => weight)).toEqual([...doubts.map(({ weight }) => weight)].sort((a, b) => b - a));
    for (const doubt of doubts) {
      expect(doubt.text).toMatch(/^(Bars? \d+|The whole song)/);
      const kept = solved(evidence, ...doubt.keep);
      if (doubt.kind !== 'level') expect(starts(kept)).toContain(doubt.time);
      if (doubt.other.length > 0) expect(solveRhythm(evidence, locked(doubt.other)).ok).toBe(true);
    }
  });

  it('are gone once the shown reading is taken', () => {
    const made = [...repeat(4, 6), 3, ...repeat(4, 5), 2, ...repeat(4, 6), 5, ...repeat(4, 8)];
    const evidence = song(madeBeats(made, 0.5), { offBeats: 0.5, noise: 1, seed: 7, plain: true });
    const first = solved(evidence).doubts.find((doubt) => doubt.kind !== 'level');
    const after = solved(evidence, ...(first?.keep ?? []));
    expect(after.doubts.some((doubt) => doubt.time === first?.time && doubt.kind === first.kind)).toBe(false);
  });
});
