// npm test: installs if needed, makes sure a Chromium is there, then types, lint, units, properties and browser,
// printing how long each took. --long runs the same suites with full counts, the browser tests in Firefox, damaged inputs and
// a soak, all of them whatever fails, and writes a dated summary. --firefox runs the browser tests in Firefox alone.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { checkNode, ensureBuilt, ensureInstalled, runBin, BUILD_CLI, BUILD_WEB, TOP } from './steps.mjs';
import { aptInstall, ensureChromium, findFirefox } from './browsers.mjs';
import { CHECKS } from './check.mjs';
import { resultOf, writeLongSummary } from './long-summary.mjs';

checkNode();
ensureInstalled();
const long = process.argv.includes('--long');
const onlyFirefox = process.argv.includes('--firefox');
const names = process.argv.slice(2).filter((arg) => arg !== '--long' && arg !== '--firefox');
const env = { ...process.env, CHROMIUM: ensureChromium(), BARWRIGHT_LONG: long ? '1' : '', BARWRIGHT_BROWSER: '' };
// In CI the recordings with a stated tempo have to be there; elsewhere their test says why it is left out.
if (process.env.CI && !existsSync('/usr/share/games/fretsonfire/data/songs/muldjord'))
  aptInstall(['fretsonfire-songs-muldjord']);

const vitest = (project, files = names) => [
  'vitest/vitest.mjs',
  ['run', '--root', TOP, '--project', project, '--passWithNoTests', ...files],
];
/** A measurement of `npm run bench` that finds faults too; what it prints is kept. */
const bench =
  (...words) =>
  () => {
    const { status, stdout } = spawnSync(process.execPath, [join(TOP, 'src', 'scripts', 'bench.mjs'), ...words], {
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
/** Left out, with a sentence, where there is no Firefox. */
function inFirefox() {
  if (!findFirefox()) {
    process.stdout.write('No Firefox was found: install one, or name it in the variable FIREFOX.\n');
    return {};
  }
  const tests = vitest('browser', names.length > 0 ? names : ['tests/browser']);
  return runBin(...tests, { env: { ...env, BARWRIGHT_BROWSER: 'firefox' } });
}
const builds = ['builds', () => (ensureBuilt(...BUILD_WEB), ensureBuilt(...BUILD_CLI), true)];
const firefox = ['browser, in Firefox', inFirefox];
const tests = [
  ['units and properties', ...vitest('unit')],
  builds,
  ['browser and command line', ...vitest('browser')],
  ...(long ? [firefox] : []),
  ...(long && names.length === 0
    ? [
        ['damaged inputs', bench('fuzz', '--seed', seed, '--count', '12000')],
        ['soak', bench('soak', '--seed', seed)],
      ]
    : []),
];
const rows = [];
for (const [name, bin, args] of onlyFirefox ? [builds, firefox] : names.length > 0 ? tests : [...CHECKS, ...tests]) {
  process.stdout.write(`\n== ${name}\n`);
  const began = Date.now();
  const outcome = typeof bin === 'function' ? bin() : runBin(bin, args, { env });
  const { passed, printed } = typeof outcome === 'boolean' ? { passed: outcome } : outcome;
  rows.push({ name, passed, printed, seconds: Math.round((Date.now() - began) / 100) / 10 });
  if (passed === false && !long) break;
}
process.stdout.write(
  '\n' +
    rows.map((row) => `${resultOf(row).padEnd(8)}  ${String(row.seconds).padStart(6)} s  ${row.name}`).join('\n') +
    '\n',
);
const ok = rows.every(({ passed }) => passed || (passed === undefined && !onlyFirefox));
if (long && names.length === 0 && !onlyFirefox) {
  writeLongSummary(rows);
}
process.exitCode = ok ? 0 : 1;
