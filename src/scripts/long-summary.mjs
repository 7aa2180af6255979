// Keeps the outcome of `npm run test:long` under tests/long/: one dated file a run, to be committed.
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { TOP } from './steps.mjs';

/** How a suite ended, in a word or two: undefined is one that could not be run here. */
export function resultOf({ passed }) {
  return passed === undefined ? 'left out' : passed ? 'passed' : 'FAILED';
}

/** rows: {name, passed, seconds}, with `printed` where a suite counts something. */
export function writeLongSummary(rows) {
  const date = new Date().toISOString().slice(0, 10);
  const lines = [
    `# Long run of ${date}, Node ${process.versions.node}`,
    '',
    '| suite | result | seconds |',
    '| --- | --- | --- |',
    ...rows.map((row) => `| ${row.name} | ${resultOf(row)} | ${row.seconds} |`),
    ...rows.flatMap(({ printed }) => (printed === undefined ? [] : ['', '```', printed.trimEnd(), '```'])),
  ];
  mkdirSync(join(TOP, 'tests', 'long'), { recursive: true });
  writeFileSync(join(TOP, 'tests', 'long', `${date}.md`), lines.join('\n') + '\n');
}
