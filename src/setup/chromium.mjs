// Finds a Chromium for the browser tests, or installs Debian's when run there as root.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'microsoft-edge', 'chrome'];
const PLACES = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
];

/** Path of an installed Chromium, Chrome or Edge; $CHROMIUM names one directly. */
export function findChromium() {
  const named = process.env.CHROMIUM;
  if (named && existsSync(named)) return named;
  const folders = (process.env.PATH ?? '').split(delimiter);
  const onPath = NAMES.flatMap((name) => folders.map((folder) => join(folder, name)));
  return [...onPath, ...PLACES].find((path) => existsSync(path));
}

/** As findChromium, installing Debian's package when it can; ends the process with one line when there is none. */
export function ensureChromium() {
  const found = findChromium();
  if (found) return found;
  aptInstall(['chromium']);
  const installed = findChromium();
  if (installed) return installed;
  process.stderr.write(
    'The browser tests need Chromium, Chrome or Edge: install one, or name it in the variable CHROMIUM.\n',
  );
  process.exit(1);
}

/** Installs Debian packages; false where this is not Debian, not root, or the packages cannot be had. */
export function aptInstall(packages) {
  if (!existsSync('/usr/bin/apt-get') || process.getuid?.() !== 0) return false;
  process.stderr.write(`Installing ${packages.join(', ')} with apt-get …\n`);
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const apt = (args) =>
    spawnSync('apt-get', ['-qq', '-y', ...args], { stdio: ['ignore', 'ignore', 2], env }).status === 0;
  return apt(['update']) && apt(['install', '--no-install-recommends', ...packages]);
}
