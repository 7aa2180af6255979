import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { build, type Plugin } from 'vite';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { HEADERS } from '../../src/scripts/content-policy.mjs';
import { browser, inFirefox } from '../support/browser.js';
import { serveFolder, stranger, type Served } from '../support/own-server.js';
import { songShown } from '../support/user.js';
import { BY_POLICY, IN_PAGE, IN_WORKER, IN_WORKLET, trying, type Attempts } from './privacy.attempts.js';

const BUILT = 'dist/web';
const open = mkdtempSync(join(tmpdir(), 'unguarded-'));
let other: Awaited<ReturnType<typeof stranger>>;
const sites: Served[] = [];

/** The same sources with nothing that keeps them from talking to others: shows that each attempt is a real one. */
async function buildUnguarded(): Promise<void> {
  const unguarded = (): Plugin => ({
    name: 'unguarded',
    enforce: 'pre',
    transform: (_, id) =>
      id.endsWith('src/platform/egress/own-origin.ts')
        ? 'export const shutOut = () => {}; export const ownOriginOnly = () => {}; export const noPeers = () => {};'
        : undefined,
    transformIndexHtml: { order: 'post', handler: (html) => html.replace(/<meta http-equiv[^>]*>/, '') },
  });
  await build({
    root: 'src',
    configFile: 'vite.config.ts',
    publicDir: '../samples/public',
    logLevel: 'error',
    plugins: [unguarded()],
    worker: { plugins: () => [unguarded()] },
    build: { outDir: open, emptyOutDir: true, minify: false },
  });
  expect(readFileSync(join(open, 'index.html'), 'utf8')).not.toContain('Content-Security-Policy');
}

const isWorker = (path: string): boolean => /worker[^/]*\.js$/.test(path);
const isWorklet = (path: string): boolean => /processor[^/]*\.js$/.test(path);
const scripts = (folder: string, wanted: (path: string) => boolean): string[] =>
  readdirSync(join(folder, 'assets')).filter(wanted);
/** What a worker is called in the log of the stranger. */
const placeOf = (path: string): string => path.replace(/^.*\/|(-[\w-]{8})?\.js$/g, '');

interface Kind {
  /** The first word of what the stranger notes. */
  readonly name: string;
  readonly folder: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly inWorker: Attempts;
}

/** The site with every attempt at the end of each worker and worklet. */
async function serve({ name, folder, headers, inWorker }: Kind): Promise<string> {
  const site = await serveFolder(folder, headers, (path, text, query) => {
    if (path === '/probe.js') return `import ${JSON.stringify(query)};`;
    const tried = trying(inWorker, `${name}/${placeOf(path)}/`, other.address);
    // The service worker is built apart, with its guard; without it only the attempts are left.
    if (path === '/service-worker.js' && folder === open) return tried;
    if (isWorker(path)) return `${text()}\n${tried}`;
    if (isWorklet(path)) return `${text()}\n${trying(IN_WORKLET, `${name}/worklet/`, other.address)}`;
    return undefined;
  });
  sites.push(site);
  return site.address;
}

/** Lets every place of the site make its attempts; the analysis also once a song is analysed and all it needs is loaded. */
async function tryAll(kind: Kind): Promise<Page> {
  const { name, inWorker } = kind;
  const context = await (await browser()).newContext();
  const page = await context.newPage();
  await page.goto(await serve(kind));
  await page.getByRole('button', { name: /^Kites over Brennick/ }).click();
  await songShown(page);
  await startWorkers(page, kind.folder);
  await page.evaluate(trying(IN_PAGE, `${name}/page/`, other.address));
  // A running worker cannot be reached in Firefox.
  if (inFirefox()) return page;
  const [analysis] = page.workers().filter((worker) => worker.url().includes('analysis'));
  await analysis!.evaluate(trying(inWorker, `${name}/analysis-loaded/`, other.address));
  return page;
}

const heard = (kind: string): string[] =>
  [...other.came].filter((path) => path.startsWith(`${kind}/`)).map((path) => path.slice(kind.length + 1));

/** Starts every worker and worklet script that the build made. */
async function startWorkers(page: Page, folder: string): Promise<void> {
  const workers = scripts(folder, isWorker);
  const worklets = scripts(folder, isWorklet);
  expect(workers.map(placeOf)).toEqual(expect.arrayContaining(['analysis-worker', 'decode-worker', 'tracks-worker']));
  expect(worklets.length).toBeGreaterThan(0);
  await page.evaluate(
    async ([workers, worklets]) => {
      const own = window as unknown as { tried: unknown[] };
      own.tried = workers!.map((name) => new Worker(`assets/${name}`, { type: 'module' }));
      for (const name of worklets!) await new AudioContext().audioWorklet.addModule(`assets/${name}`);
    },
    [workers, worklets],
  );
}

beforeAll(async () => {
  other = await stranger();
  await buildUnguarded();
});
afterAll(async () => {
  for (const site of sites) await site.close();
  await other.close();
  rmSync(open, { recursive: true });
});

it('another origin hears nothing of page, workers and worklet; without the guard it hears each of them', async () => {
  const all = { ...IN_WORKER, ...BY_POLICY };
  const pages = [
    await tryAll({ name: 'guarded', folder: BUILT, headers: HEADERS, inWorker: all }),
    // A static host sends no headers: the page keeps its meta tag, the workers their own guard.
    await tryAll({ name: 'static-host', folder: BUILT, headers: {}, inWorker: IN_WORKER }),
  ];
  expect(other.came).not.toContain('peer-connection');
  // What was tried before has had the time that these need to arrive.
  pages.push(await tryAll({ name: 'unguarded', folder: open, headers: {}, inWorker: all }));
  const places = ['analysis-worker', 'decode-worker', 'tracks-worker', ...(inFirefox() ? [] : ['analysis-loaded'])];
  const expected = [
    ...Object.keys(IN_PAGE)
      // Firefox fetches ahead only once it has nothing else to do.
      .filter((name) => name !== 'peer-connection' && !(inFirefox() && name === 'prefetch'))
      .map((name) => `page/${name}`),
    ...['fetch', 'hidden-fetch', 'web-socket', 'cache'].map((name) => `service-worker/${name}`),
    ...places.flatMap((place) => Object.keys(all).map((name) => `${place}/${name}`)),
  ];
  await expect.poll(() => heard('unguarded').sort()).toEqual(expect.arrayContaining(expected));
  await expect.poll(() => [...other.came]).toContain('peer-connection');
  expect(heard('guarded')).toEqual([]);
  expect(heard('static-host')).toEqual([]);
  for (const page of pages) await page.context().close();
});
