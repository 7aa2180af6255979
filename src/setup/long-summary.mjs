// Keeps the outcome of `npm run test:long` under tests/long/: one dated file a run, to be committed.
import { mkdirSync, readFileSync, existsSync, writeFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { TOP } from './steps.mjs';

/** rows: {name, passed, seconds}. Counts that suites noted in .cache/long-counts.jsonl are added. */
export function writeLongSummary(rows) {
  const date = new Date().toISOString().slice(0, 10);
  const noted = join(TOP, '.cache', 'long-counts.jsonl');
  const counts = existsSync(noted)
    ? readFileSync(noted, 'utf8')
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line))
    : [];
  const lines = [
    `# Long run of ${date}, Node ${process.versions.node}`,
    '',
    '| suite | result | seconds |',
    '| --- | --- | --- |',
    ...rows.map((row) => `| ${row.name} | ${row.passed ? 'passed' : 'FAILED'} | ${row.seconds} |`),
    '',
    '| what was counted | count |',
    '| --- | --- |',
    ...counts.map((entry) => `| ${entry.what} | ${entry.count} |`),
  ];
  mkdirSync(join(TOP, 'tests', 'long'), { recursive: true });
  writeFileSync(join(TOP, 'tests', 'long', `${date}.md`), lines.join('\n') + '\n');
  rmSync(noted, { force: true });
}
