import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { QUIET_BROWSER, withBuiltPage } from '../support/built-page.js';
import { REFERENCE_RATE } from '../support/reference-beats.js';
import { scriptsAtStart, zippedInAll } from '../support/script-sizes.js';
import { copySong, keyEdits, whenListed } from './budgets-page.js';
import { openRecording, stereoWave } from './frames.js';
import { watchLongTasks, type LongTask } from './frames-page.js';
import { proportionalSize } from './memory.js';
import { limited, type Row } from './row.js';
import { songOfLength } from './songs.js';
import { percentile } from './statistics.js';

const MINUTES = 10;
const SONGS = 500;
/** Aims: kilobytes of script, megabytes of memory, milliseconds. */
const AIM = { script: 150, peak: 700, settled: 350, edit: 50, library: 1000 };
/** Seconds after the last work before memory counts as settled. */
const SETTLE = 20;

/**
 * `budgets [--edits N]`: what the built page costs in Chromium: script before the first screen, memory while a ten-minute stereo
 * song is decoded and analysed and when all is quiet (proportional set size of all the browser's processes, less that with an
 * empty page), edits by key on that song, and the list of 500 songs.
 */
export async function budgetsBench(words: readonly string[]): Promise<Row[]> {
  const { values } = parseArgs({ args: [...words], options: { edits: { type: 'string', default: '40' } } });
  return withBuiltPage(async ({ site, executablePath }, folder) => {
    const file = join(folder, 'ten-minutes.wav');
    writeFileSync(file, stereoWave((await songOfLength(60 * MINUTES)).reference, REFERENCE_RATE));
    const profile = join(folder, 'profile');
    // A profile on disk, as a user has one: what is stored takes no memory.
    const context = await chromium.launchPersistentContext(profile, {
      executablePath,
      args: [...QUIET_BROWSER, '--enable-precise-memory-info'],
      viewport: { width: 1280, height: 800 },
    });
    try {
      return await measure(context, profile, site, file, Number(values.edits));
    } finally {
      await context.close();
    }
  });
}

async function measure(
  context: BrowserContext,
  profile: string,
  site: string,
  file: string,
  edits: number,
): Promise<Row[]> {
  const size = (): number => proportionalSize(profile);
  const page = context.pages()[0] ?? (await context.newPage());
  await page.setContent('<p>empty</p>');
  await page.waitForTimeout(3000);
  const empty = size();
  await page.addInitScript(watchLongTasks);
  const scripts = await scriptsAtStart(page, site);
  const memory = watchPeak(size);
  const { took } = await openRecording(page, file);
  const peak = memory.stop();
  process.stderr.write(`  opened in ${(took / 1000).toFixed(0)} s\n`);
  await page.waitForTimeout(1000 * SETTLE);
  const settled = size();
  const before = await longTasks(page);
  const times = await page.evaluate(keyEdits, edits);
  if (times.length < edits / 2) throw new Error(`budgets: only ${times.length} of ${edits} keys changed the map`);
  const felt = (await longTasks(page)).slice(before.length);
  await page.waitForTimeout(1000 * SETTLE);
  const after = size();
  const library = await openLibrary(page, site);
  return [
    limited('script loaded before the first screen, compressed', zippedInAll(scripts) / 1000, AIM.script, 'kB'),
    limited(
      `memory while a ${MINUTES}-minute stereo song is opened, above an empty page`,
      peak - empty,
      AIM.peak,
      'MB',
      0,
    ),
    limited('memory of that song when all is quiet', settled - empty, AIM.settled, 'MB', 0),
    { what: `  after ${times.length} edits`, measured: `${(after - empty).toFixed(0)} MB` },
    { what: '  the browser with an empty page', measured: `${empty.toFixed(0)} MB` },
    limited(
      `key to the frame with the solved map, ${times.length} edits, 95th percentile`,
      percentile(times, 0.95),
      AIM.edit,
      'ms',
    ),
    {
      what: '  50th percentile, longest',
      measured: `${percentile(times, 0.5).toFixed(1)} ms, ${percentile(times, 1).toFixed(1)} ms`,
    },
    {
      what: '  tasks over 50 ms on the main thread meanwhile, longest',
      measured: `${felt.length}, ${Math.max(0, ...felt.map(({ duration }) => duration)).toFixed(0)} ms`,
    },
    limited(`start of the page to the list of ${SONGS} songs`, library.many, AIM.library, 'ms', 0),
    { what: '  with one song', measured: `${library.one.toFixed(0)} ms` },
  ];
}

/** Looks every fifth of a second, until stopped, and keeps the largest. */
function watchPeak(size: () => number): { stop(): number } {
  let most = 0;
  const timer = setInterval(() => (most = Math.max(most, size())), 200);
  return {
    stop() {
      clearInterval(timer);
      return most;
    },
  };
}

async function longTasks(page: Page): Promise<readonly LongTask[]> {
  return page.evaluate(() => (window as unknown as { longTasks: LongTask[] }).longTasks);
}

async function openLibrary(page: Page, site: string): Promise<{ one: number; many: number }> {
  const listed = async (count: number): Promise<number> => {
    await page.goto('about:blank');
    await page.goto(site, { waitUntil: 'commit' });
    return page.evaluate(whenListed, count);
  };
  const one = await listed(1);
  await page.evaluate(copySong, SONGS - 1);
  return { one, many: await listed(SONGS) };
}
