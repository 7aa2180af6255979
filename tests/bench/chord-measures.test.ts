import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { CHORD_MEASURES, chordScores } from './measures/chord.js';
import type { Interval } from './measures/segment.js';

const FOLDER = 'tests/standards/mir_eval/chord';

function lab(path: string): Interval[] {
  return readFileSync(path, 'utf8')
    .split('\n')
    .filter((line) => line.trim() !== '' && !line.startsWith('#'))
    .map((line) => {
      const [start = '', end = '', label = ''] = line.trim().split(/\s+/);
      return { start: Number(start), end: Number(end), label };
    });
}

// Source: mir-evaluation/mir_eval, tests/data/chord (MIT licence): estimates, references and the published results.
describe('chord measures', () => {
  const cases = readdirSync(FOLDER).filter((name) => name.startsWith('output'));

  it('have worked examples', () => expect(cases.length).toBeGreaterThan(4));

  it.each(cases)('give what mir_eval gives: %s', (name) => {
    const number = /\d+/.exec(name)![0];
    const expected = JSON.parse(readFileSync(`${FOLDER}/${name}`, 'utf8')) as Record<string, number>;
    const scores = chordScores(lab(`${FOLDER}/ref${number}.lab`), lab(`${FOLDER}/est${number}.lab`));
    for (const measure of CHORD_MEASURES) expect(scores[measure], measure).toBeCloseTo(expected[measure] ?? NaN, 5);
  });

  it('judge neither sevenths where a suspended chord is known nor major and minor where a diminished one is', () => {
    const one = (label: string): Interval[] => [{ start: 0, end: 1, label }];
    expect(chordScores(one('G:sus4'), one('G:maj')).majmin).toBeNaN();
    expect(chordScores(one('B:dim'), one('B:min')).sevenths).toBeNaN();
    expect(chordScores(one('C:maj/3'), one('C:maj'))).toMatchObject({ majmin: 1, majmin_inv: 0 });
  });
});
