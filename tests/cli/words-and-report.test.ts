import { describe, expect, it } from 'vitest';
import { HELP, parseArguments } from '../../src/cli/arguments.js';
import { inOrder } from '../../src/cli/in-order.js';
import { reportText } from '../../src/cli/report.js';
import { EXPORT_KINDS } from '../../src/export/export-kinds.js';
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

describe('the form in the report', () => {
  it('is said in a sentence, with the bars written and played', () => {
    const verse = '4:G 4:C 4:D 4:G';
    const text = reportText(bars(`Intro: 4:C 4:F 2 | Verse: ${verse} | Chorus: 4:F 4:F 4:C | Verse: ${verse} 2:D`));
    expect(text).toContain('\nForm: Intro 2 + a bar of 2, Verse 4 (4 + a bar of 2 the second time), Chorus 3, Verse\n');
    expect(text).toContain('\nChart: 15 bars written, 15 played\n');
    expect(reportText(bars(`Verse: ${verse} | Verse: ${verse}`))).toContain('Chart: 4 bars written, 8 played');
  });

  it('is wrapped where it is long', () => {
    const text = reportText(bars(Array.from({ length: 30 }, (_, i) => `Part_${i}x: 4`).join(' | ')));
    const lines = text.split('\n');
    const form = lines.findIndex((line) => line.startsWith('Form: Part 0x 1, '));
    expect(lines[form + 1]).toMatch(/^ {6}Part \d+x 1, /);
    expect(Math.max(...lines.slice(form, form + 4).map((line) => line.length))).toBeLessThanOrEqual(100);
  });
});

describe('the words of the command line', () => {
  it('are read into a request', () => {
    expect(parseArguments(['a.wav', '--jams', 'a.jams', '--jobs', '3'])).toMatchObject({
      kind: 'run',
      request: { files: ['a.wav'], exports: { jams: 'a.jams' }, jobs: 3, quiet: false },
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
      ['--midi', 'x.mid', 'a', 'b'],
      ['--text', '-', '--csv', '-', 'a'],
      ['--musicxml', '-', 'a', 'b'],
    ]) {
      expect(parseArguments(words).kind).toBe('wrong');
    }
  });
});

describe('the help', () => {
  it('names every file that can be written, each an option', () => {
    for (const { id } of EXPORT_KINDS) {
      expect(HELP).toContain(`--${id} FILE`);
      expect(parseArguments([`--${id}`, 'x', 'a'])).toMatchObject({ kind: 'run', request: { exports: { [id]: 'x' } } });
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
