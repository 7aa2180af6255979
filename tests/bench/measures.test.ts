import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { continuity, fMeasure, lateness, trimBeats } from './measures/beat.js';
import { barScore, irregularScore } from './measures/bars.js';
import { detection, pairwise, spanTo, type Interval } from './measures/segment.js';

// Source: mir-evaluation/mir_eval, tests/data (MIT licence): reference, estimate and published output.
const HERE = 'tests/standards/mir_eval';

function lines(path: string): string[] {
  return readFileSync(path, 'utf8').trim().split('\n');
}

function cases(task: string): { ref: string; est: string; out: Record<string, number> }[] {
  const names = readdirSync(`${HERE}/${task}`).filter((name) => name.startsWith('output'));
  return names.map((name) => {
    const file = (kind: string): string => {
      const stem = name.replace('output', kind).replace('.json', '');
      return `${HERE}/${task}/${stem}${task === 'beat' ? '.txt' : '.lab'}`;
    };
    return {
      ref: file('ref'),
      est: file('est'),
      out: JSON.parse(readFileSync(`${HERE}/${task}/${name}`, 'utf8')) as Record<string, number>,
    };
  });
}

function intervals(path: string): Interval[] {
  return lines(path).map((line) => {
    const [start, end, label] = line.split('\t');
    return { start: Number(start), end: Number(end), label: (label ?? '').trim() };
  });
}

describe('measures against the worked examples of mir_eval', () => {
  it('has examples', () => {
    expect(cases('beat').length).toBe(6);
    expect(cases('segment').length).toBe(6);
  });

  it.each(cases('beat'))('beats: $ref', ({ ref, est, out }) => {
    const reference = trimBeats(lines(ref).map(Number));
    const estimate = trimBeats(lines(est).map(Number));
    expect(fMeasure(reference, estimate)).toBeCloseTo(out['F-measure'] as number, 9);
    const levels = continuity(reference, estimate);
    expect(levels.cmlc).toBeCloseTo(out['Correct Metric Level Continuous'] as number, 9);
    expect(levels.cmlt).toBeCloseTo(out['Correct Metric Level Total'] as number, 9);
    expect(levels.amlc).toBeCloseTo(out['Any Metric Level Continuous'] as number, 9);
    expect(levels.amlt).toBeCloseTo(out['Any Metric Level Total'] as number, 9);
  });

  it.each(cases('segment'))('sections: $ref', ({ ref, est, out }) => {
    const reference = spanTo(intervals(ref));
    const estimate = spanTo(intervals(est), Math.max(...reference.map((one) => one.end)));
    for (const window of [0.5, 3]) {
      const found = detection(reference, estimate, window);
      const suffix = `@${window.toFixed(1)}`;
      expect(found.precision).toBeCloseTo(out[`Precision${suffix}`] as number, 9);
      expect(found.recall).toBeCloseTo(out[`Recall${suffix}`] as number, 9);
      expect(found.f).toBeCloseTo(out[`F-measure${suffix}`] as number, 9);
    }
    const pairs = pairwise(reference, estimate);
    expect(pairs.precision).toBeCloseTo(out['Pairwise Precision'] as number, 9);
    expect(pairs.recall).toBeCloseTo(out['Pairwise Recall'] as number, 9);
  });
});

describe('lateness', () => {
  it('is that of the beats that were found, one each; early is negative', () => {
    const late = lateness([1, 2, 3, 4, 5], [1.01, 1.03, 1.95, 2.5, 3.1, 5.06]);
    expect(late.map((seconds) => Math.round(1000 * seconds))).toEqual([10, -50, 60]);
  });
});

describe('measures of bars', () => {
  const bars = (text: string): { start: number; beats: number }[] => {
    let start = 0;
    return text.split(' ').map((beats) => {
      const bar = { start, beats: Number(beats) };
      start += bar.beats * 0.5;
      return bar;
    });
  };

  it('counts a bar only when start and length are right', () => {
    expect(barScore(bars('4 4 2 4'), bars('4 4 2 4')).f).toBe(1);
    expect(barScore(bars('4 4 2 4'), bars('4 4 4 4')).hits).toBe(2);
  });

  it('counts irregular bars apart', () => {
    expect(irregularScore(bars('4 4 2 4'), bars('4 4 2 4'))).toMatchObject({ hits: 1, claimed: 1, actual: 1 });
    expect(irregularScore(bars('4 4 2 4'), bars('4 4 4 4'))).toMatchObject({ hits: 0, claimed: 0, actual: 1, f: 0 });
  });
});
