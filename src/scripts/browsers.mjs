// Finds the browsers for the browser tests; Debian's Chromium is installed when run there as root.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';

const CHROMIUMS = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'microsoft-edge', 'chrome'];
const CHROMIUM_PLACES = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
];
const FIREFOXES = ['firefox-esr', 'firefox'];
const FIREFOX_PLACES = ['/Applications/Firefox.app/Contents/MacOS/firefox'];

/** Path of an installed Chromium, Chrome or Edge; $CHROMIUM names one directly. */
export function findChromium() {
  return find(process.env.CHROMIUM, CHROMIUMS, CHROMIUM_PLACES);
}

/** Path of an installed Firefox; $FIREFOX names one directly. */
export function findFirefox() {
  return find(process.env.FIREFOX, FIREFOXES, FIREFOX_PLACES);
}

function find(named, names, places) {
  if (named && existsSync(named)) return named;
  const folders = (process.env.PATH ?? '').split(delimiter);
  const onPath = names.flatMap((name) => folders.map((folder) => join(folder, name)));
  return [...onPath, ...places].find((path) => existsSync(path));
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
