// The steps every npm script starts with. Plain Node, no packages: they run before anything is installed.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const TOP = fileURLToPath(new URL('../..', import.meta.url));
const OLDEST = [20, 19];

/** Ends the process with one line when Node is older than 20.19. */
export function checkNode(version = process.versions.node) {
  const [major, minor] = version.split('.').map(Number);
  if (major > OLDEST[0] || (major === OLDEST[0] && minor >= OLDEST[1])) return;
  process.stderr.write(
    `Barwright needs Node ${OLDEST.join('.')} or later; this is Node ${version}. Install a newer Node and try again.\n`,
  );
  process.exit(1);
}

/** Runs a program to its end, its output shown; true when it succeeded. */
export function run(command, args, options = {}) {
  const result = spawnSync(command, args, {
    cwd: TOP,
    stdio: 'inherit',
    shell: process.platform === 'win32',
    ...options,
  });
  return result.status === 0;
}

/** Runs a program that node_modules holds. */
export function runBin(name, args, options = {}) {
  return run(process.execPath, [join(TOP, 'node_modules', ...name.split('/')), ...args], options);
}

/** Installs the packages of package-lock.json when they are not there, or not those of the lock file. */
export function ensureInstalled() {
  const lock = join(TOP, 'package-lock.json');
  const stamp = join(TOP, 'node_modules', '.package-lock.json');
  if (existsSync(stamp) && statSync(stamp).mtimeMs >= statSync(lock).mtimeMs) return;
  process.stderr.write('Installing packages …\n');
  // On standard error, so that what a command prints stays clean in a pipe.
  const done = run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=error'], { stdio: ['ignore', 2, 2] });
  if (done) return;
  process.stderr.write('The packages could not be installed. Check the network connection and try again.\n');
  process.exit(1);
}

/** The folders each build depends on. */
const SOURCES = {
  web: ['src', 'worklets', 'samples/public'],
  cli: ['src'],
  bench: ['src', 'tests/bench', 'tests/support', 'tests/browser'],
  golden: ['src', 'tests/golden', 'tests/bench', 'tests/support'],
};

/** Builds the page (`web`) or the command line (`cli`, `bench`, `golden`) into dist/NAME when a source is newer than the last build. */
export function ensureBuilt(name, viteArgs) {
  const stamp = join(TOP, 'dist', `.${name}-built`);
  const newest = Math.max(
    ...SOURCES[name].map((folder) => newestIn(join(TOP, folder))),
    ...['package-lock.json', 'vite.config.ts'].map((file) => statSync(join(TOP, file)).mtimeMs),
  );
  if (existsSync(stamp) && Number(readFileSync(stamp, 'utf8')) >= newest) return;
  process.stderr.write(`Building (${name}) …\n`);
  if (
    !runBin('vite/bin/vite.js', ['build', '--logLevel', 'warn', ...viteArgs], {
      stdio: ['ignore', 2, 2],
      // vite.config.ts takes the tests' root when the test runner is its parent; a build never wants that.
      env: { ...process.env, VITEST: '' },
    })
  ) {
    process.stderr.write('The build failed; the lines above say where.\n');
    process.exit(1);
  }
  mkdirSync(join(TOP, 'dist'), { recursive: true });
  writeFileSync(stamp, String(newest));
}

function newestIn(folder) {
  if (!existsSync(folder)) return 0;
  let newest = 0;
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    newest = Math.max(newest, entry.isDirectory() ? newestIn(path) : statSync(path).mtimeMs);
  }
  return newest;
}

export const BUILD_WEB = ['web', []];
export const BUILD_CLI = ['cli', ['--ssr', 'cli.ts', '--outDir', '../dist/cli']];
export const BUILD_BENCH = ['bench', ['--ssr', '../tests/bench/main.ts', '--outDir', '../dist/bench']];
export const BUILD_GOLDEN = ['golden', ['--ssr', '../tests/golden/main.ts', '--outDir', '../dist/golden']];
