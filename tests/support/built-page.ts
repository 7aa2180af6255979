import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { preview } from 'vite';
import { findChromium } from '../../src/scripts/browsers.mjs';

/** Options of a browser that somebody could look at; nothing is heard. */
export const QUIET_BROWSER = ['--no-sandbox', '--disable-gpu', '--mute-audio'];

export interface BuiltPage {
  /** Address of dist/web, ending in a slash. */
  readonly site: string;
  /** Path of the Chromium that is there. */
  readonly executablePath: string;
  close(): Promise<void>;
}

/** Serves dist/web with the headers it is served with. Throws where there is no Chromium to look at it. */
export async function serveBuiltPage(): Promise<BuiltPage> {
  const executablePath = findChromium();
  if (!executablePath)
    throw new Error(
      'no Chromium found: run `npm test`, which looks for one or installs it, or name one in the variable CHROMIUM',
    );
  const server = await preview({
    root: 'src',
    configFile: 'vite.config.ts',
    logLevel: 'error',
    build: { outDir: '../dist/web' },
    preview: { port: 0, host: 'localhost' },
  });
  const site = server.resolvedUrls?.local[0];
  if (!site) throw new Error('the preview server gave no address');
  return { site, executablePath, close: () => server.close() };
}

/** Serves dist/web while `use` runs, with a folder for its files that is removed afterwards. */
export async function withBuiltPage<T>(use: (page: BuiltPage, folder: string) => Promise<T>): Promise<T> {
  const page = await serveBuiltPage();
  const folder = mkdtempSync(join(tmpdir(), 'built-page-'));
  try {
    return await use(page, folder);
  } finally {
    await page.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
