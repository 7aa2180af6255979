// npm test: installs if needed, makes sure a Chromium is there, then types, lint, units, properties and browser,
// printing how long each took. --long runs the same suites with full counts, damaged inputs and a soak, all of them whatever
// fails, and writes a dated summary.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { checkNode, ensureBuilt, ensureInstalled, runBin, BUILD_CLI, BUILD_WEB, TOP } from './steps.mjs';
import { aptInstall, ensureChromium } from './chromium.mjs';
import { CHECKS } from './check.mjs';

checkNode();
ensureInstalled();
const long = process.argv.includes('--long');
const names = process.argv.slice(2).filter((arg) => arg !== '--long');
const env = { ...process.env, CHROMIUM: ensureChromium(), BARWRIGHT_LONG: long ? '1' : '' };
// In CI the recordings with a stated tempo have to be there; elsewhere their test says why it is left out.
if (process.env.CI && !existsSync('/usr/share/games/fretsonfire/data/songs/muldjord'))
  aptInstall(['fretsonfire-songs-muldjord']);

const vitest = (project) => [
  'vitest/vitest.mjs',
  ['run', '--root', TOP, '--project', project, '--passWithNoTests', ...names],
];
/** A measurement of `npm run bench` that finds faults too; what it prints is kept. */
const bench =
  (...words) =>
  () => {
    const { status, stdout } = spawnSync(process.execPath, [join(TOP, 'src', 'setup', 'bench.mjs'), ...words], {
      cwd: TOP,
      env,
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    process.stdout.write(stdout);
    return { passed: status === 0, printed: `npm run bench -- ${words.join(' ')}\n${stdout}` };
  };
// Other inputs every day; the summary says which.
const seed = new Date().toISOString().slice(0, 10).replaceAll('-', '');
const suites = [
  ...CHECKS,
  ['units and properties', ...vitest('unit')],
  ['builds', () => (ensureBuilt(...BUILD_WEB), ensureBuilt(...BUILD_CLI), true)],
  ['browser and command line', ...vitest('browser')],
  ...(long && names.length === 0
    ? [
        ['damaged inputs', bench('fuzz', '--seed', seed, '--count', '12000')],
        ['soak', bench('soak', '--seed', seed)],
      ]
    : []),
];
const rows = [];
for (const [name, bin, args] of names.length > 0 ? suites.slice(CHECKS.length) : suites) {
  process.stdout.write(`\n== ${name}\n`);
  const began = Date.now();
  const outcome = typeof bin === 'function' ? bin() : runBin(bin, args, { env });
  const { passed, printed } = typeof outcome === 'boolean' ? { passed: outcome } : outcome;
  rows.push({ name, passed, printed, seconds: Math.round((Date.now() - began) / 100) / 10 });
  if (!passed && !long) break;
}
process.stdout.write(
  '\n' +
    rows
      .map((row) => `${row.passed ? 'passed' : 'FAILED'}  ${String(row.seconds).padStart(6)} s  ${row.name}`)
      .join('\n') +
    '\n',
);
const ok = rows.every((row) => row.passed);
if (long && names.length === 0) {
  const { writeLongSummary } = await import('./long-summary.mjs');
  writeLongSummary(rows);
}
process.exitCode = ok ? 0 : 1;
