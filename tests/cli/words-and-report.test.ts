import { describe, expect, it } from 'vitest';
import { parseArguments } from '../../src/cli/arguments.js';
import { inOrder } from '../../src/cli/in-order.js';
import { reportText } from '../../src/cli/report.js';
import { bars } from '../support/notation.js';

describe('the report', () => {
  it('draws a dot a beat and a figure where a bar has another length', () => {
    const text = reportText(bars('4 4 2 4 | 4 4'));
    expect(text).toContain('|....|....|2.|....|');
    expect(text).toContain('|....|....|\n');
    expect(text).toMatch(/bar 3: 2 beats at 0:0\d/);
  });

  it('wraps after eight bars, so that a bar of another length throws its line out', () => {
    const text = reportText(bars('4 4 4 4 4 4 4 6 4 4'));
    expect(text).toMatch(/\|6\.\.\.\.\.\|\n +\|\.\.\.\.\|\.\.\.\.\|\n/);
  });
});

describe('the words of the command line', () => {
  it('are read into a request', () => {
    expect(parseArguments(['a.wav', '--jams', 'a.jams', '--jobs', '3'])).toMatchObject({
      kind: 'run',
      request: { files: ['a.wav'], jams: 'a.jams', jobs: 3, quiet: false },
    });
    expect(parseArguments(['a.wav', '--jams', '-'])).toMatchObject({ kind: 'run', request: { quiet: true } });
  });

  it('are refused with what is wrong', () => {
    for (const words of [
      [],
      ['--jobs', '0', 'a'],
      ['--with-audio', 'a'],
      ['--project', '-', 'a'],
      ['--jams', '', 'a'],
    ]) {
      expect(parseArguments(words).kind).toBe('wrong');
    }
  });
});

describe('work in order', () => {
  it('hands outcomes over in the order of the items and keeps to the number at once', async () => {
    const ends = new Map<number, () => void>();
    const started: number[] = [];
    const seen: number[] = [];
    let atOnce = 0;
    let most = 0;
    const work = (item: number): Promise<number> => {
      started.push(item);
      most = Math.max(most, ++atOnce);
      return new Promise((resolve) => ends.set(item, () => (atOnce--, resolve(item * 10))));
    };
    const all = inOrder([1, 2, 3, 4], 2, work, (outcome) => seen.push(outcome));
    const until = async (done: () => boolean): Promise<void> => {
      while (!done()) await Promise.resolve();
    };
    await until(() => started.length === 2);
    ends.get(2)?.();
    await until(() => started.includes(4));
    expect(seen).toEqual([]);
    for (const item of [4, 1]) ends.get(item)?.();
    await until(() => started.includes(3));
    ends.get(3)?.();
    await all;
    expect(seen).toEqual([10, 20, 30, 40]);
    expect(most).toBe(2);
  });
});
