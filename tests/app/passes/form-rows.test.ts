import { expect, it } from 'vitest';
import { foldedText, formTable } from '../../../src/app/passes/form-rows.js';
import { bars } from '../../support/notation.js';

it('the form is a table whose rows add up to the recording', () => {
  const map = bars('-2 Verse: 4:G 3:C | ~4 Solo: 4:D 4:G 4:G 2:G -2');
  const { rows, totals, sentence } = formTable(map);
  expect(rows.map(({ name, bars: count, odd, beats, span }) => [name, count, odd, beats, span].join('|'))).toEqual([
    'before the first bar||||0:00–0:01',
    'Verse|2|1 irregular|7|0:01–0:04',
    'free time||||0:04–0:06',
    'Solo|4|1 irregular|14|0:06–0:13',
    'after the last bar||||0:13–0:14',
  ]);
  rows.slice(1).forEach(({ from }, i) => expect(from).toBeCloseTo(rows[i]!.to, 9));
  expect([rows[0]!.from, rows.at(-1)!.to]).toEqual([0, map.recording.duration]);
  expect(totals).toEqual({ bars: '6', beats: '21', span: '0:14' });
  expect(sentence).toMatch(/Verse .*free for 2 s, Solo/);
});

it('what is over within a second is no line of the form', () => {
  const names = (text: string): string[] => formTable(bars(text)).rows.map(({ name }) => name);
  expect(names('-1 Verse: 4:G 4:C -3')).toEqual(['Verse', 'after the last bar']);
});

it('the chart says how many bars are written and how many played', () => {
  const verse = 'Verse: 4:G 4:C 4:D 4:E:min 4:A 4:B:min 4:F 4:G';
  expect(foldedText(bars(`${verse} | ${verse}`))).toBe('8 bars written with repeats, 16 played.');
  expect(foldedText(bars('Verse: 4:G 4:C'))).toMatch(/^2 bars written, 2 played: nothing comes again/);
});
