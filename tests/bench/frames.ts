import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { chromium, type Browser, type Page } from 'playwright-core';
import { QUIET_BROWSER, withBuiltPage } from '../support/built-page.js';
import { REFERENCE_RATE } from '../support/reference-beats.js';
import {
  animate,
  noteMap,
  recordFrames,
  watchLongTasks,
  watchScrolling,
  zoomStage,
  type LongTask,
} from './frames-page.js';
import { limited, type Row } from './row.js';
import { songOfLength } from './songs.js';
import { median, percentile } from './statistics.js';

const MINUTES = 10;
const RUNS = 3;
/** Milliseconds between two frames: at the 99th percentile, and at most. */
const AIM_99 = 33;
const AIM_MOST = 100;
/** A longer task on the main thread is felt. */
const AIM_TASK = 50;

interface Run {
  readonly p99: number;
  readonly most: number;
  readonly frames: number;
  /** Milliseconds of processor time of the page's main thread for each frame: what it takes whatever else runs. */
  readonly worked: number;
}

/**
 * `frames [--seconds N]`: the built page in Chromium with a ten-minute song: long tasks on the main thread while it is
 * decoded and analysed, then the intervals between frames while it plays and is zoomed in and out at every frame, while the
 * wheel turns over its recording and over its map, beside those of an empty page with one animated box; three runs each, in turns.
 */
export async function framesBench(words: readonly string[]): Promise<Row[]> {
  const { values } = parseArgs({ args: [...words], options: { seconds: { type: 'string', default: '10' } } });
  return withBuiltPage(async ({ site, executablePath }, folder) => {
    const file = join(folder, 'ten-minutes.wav');
    writeFileSync(file, wave((await songOfLength(60 * MINUTES)).reference, REFERENCE_RATE));
    const browser = await chromium.launch({ executablePath, args: QUIET_BROWSER });
    try {
      return await measure(browser, site, file, Number(values.seconds));
    } finally {
      await browser.close();
    }
  });
}

async function measure(browser: Browser, site: string, file: string, seconds: number): Promise<Row[]> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  await context.addInitScript(watchLongTasks);
  const page = await context.newPage();
  await page.goto(site);
  const { loading, showing, took } = await openRecording(page, file);
  const empty = await context.newPage();
  await empty.setContent('<div style="width:9rem;height:9rem;background:teal"></div>');
  const ours = DOINGS.map((): Run[] => []);
  const theirs: Run[] = [];
  for (let run = 0; run < RUNS; run++) {
    theirs.push(await emptyRun(empty, seconds));
    process.stderr.write(`  run ${run + 1} of ${RUNS}: empty page ${text(theirs.at(-1))}\n`);
    for (const [i, doing] of DOINGS.entries()) {
      ours[i]?.push(await playingRun(page, seconds, doing));
      process.stderr.write(`    ${doing.what} ${text(ours[i]?.at(-1))}\n`);
    }
  }
  const middle = (runs: readonly Run[], of: keyof Run): number => median(runs.map((run) => run[of]));
  const shown = (runs: readonly Run[], of: keyof Run): string => middle(runs, of).toFixed(1);
  return [
    ...DOINGS.flatMap(({ what }, i) => [
      limited(`frame interval, playing and ${what}, 99th percentile`, middle(ours[i] ?? [], 'p99'), AIM_99, 'ms'),
      limited(`frame interval, playing and ${what}, longest`, middle(ours[i] ?? [], 'most'), AIM_MOST, 'ms'),
    ]),
    {
      what: '  the same of an empty animated page',
      measured: `${shown(theirs, 'p99')} ms, ${shown(theirs, 'most')} ms`,
    },
    {
      what: '  processor time of the main thread a frame, in that order, the empty page last',
      measured: `${[...ours, theirs].map((runs) => shown(runs, 'worked')).join(', ')} ms`,
    },
    {
      what: '  frames in a run (medians), the empty page last',
      measured: [...ours, theirs].map((runs) => middle(runs, 'frames')).join(', '),
    },
    limited(
      `longest task on the main thread while ${MINUTES} minutes are decoded and analysed (${(took / 1000).toFixed(0)} s)`,
      longest(loading),
      AIM_TASK,
      'ms',
      0,
    ),
    { what: `  tasks over ${AIM_TASK} ms there`, measured: list(loading) },
    { what: '  and as the map comes onto the screen', measured: list(showing) },
  ];
}

interface Opening {
  /** Tasks from the choice of the file to the moment the map was there, and those from then on. */
  readonly loading: readonly LongTask[];
  readonly showing: readonly LongTask[];
  readonly took: number;
}

/** Chooses the file and waits until its map is on the screen; times from the choice on. */
export async function openRecording(page: Page, file: string): Promise<Opening> {
  const chooser = page.waitForEvent('filechooser');
  await page.locator('[data-act=choose]').click();
  const input = await chooser;
  const began = await page.evaluate(noteMap);
  await input.setFiles(file);
  await page.locator('bw-close-up .stage').waitFor({ timeout: 600_000 });
  // Tasks are told a little after they end.
  await page.evaluate(() => new Promise((done) => setTimeout(done, 1000)));
  const { longTasks, mapAt } = await page.evaluate(() => {
    const noted = window as unknown as { longTasks: LongTask[]; mapAt: number };
    return { longTasks: noted.longTasks, mapAt: noted.mapAt };
  });
  const tasks = longTasks
    .filter(({ at }) => at >= began)
    .map(({ at, duration }) => ({ at: at - began, duration: Math.round(duration) }));
  const took = mapAt - began;
  return {
    took,
    loading: tasks.filter(({ at, duration }) => at + duration <= took),
    showing: tasks.filter(({ at, duration }) => at + duration > took),
  };
}

function longest(tasks: readonly LongTask[]): number {
  return Math.max(0, ...tasks.map(({ duration }) => duration));
}

function list(tasks: readonly LongTask[]): string {
  if (tasks.length === 0) return 'none';
  return tasks.map(({ at, duration }) => `${duration} ms at ${(at / 1000).toFixed(1)} s`).join(', ');
}

/** What is done to the page while it plays; `measure` says how far it has come, in the unit of `least` a second. */
interface Doing {
  readonly what: string;
  readonly begin: (page: Page) => Promise<() => Promise<void>>;
  readonly measure: (page: Page) => Promise<number>;
  readonly least: number;
}

const drawings = (page: Page): Promise<number> =>
  page.locator('bw-close-up').evaluate((view) => (view as unknown as { draws: number }).draws);

const DOINGS: readonly Doing[] = [
  {
    what: 'zooming',
    begin: async (page) => {
      const stage = page.locator('bw-close-up .stage');
      await stage.evaluate(zoomStage);
      return () => stage.evaluate((element) => void element.dispatchEvent(new Event('stop-zooming')));
    },
    measure: drawings,
    least: 10,
  },
  {
    what: 'scrolling the recording',
    begin: (page) => turnWheel(page, 'bw-close-up .stage'),
    measure: drawings,
    least: 5,
  },
  {
    what: 'scrolling the map',
    begin: async (page) => {
      await page.evaluate(watchScrolling);
      return turnWheel(page, 'bw-map-workspace .map');
    },
    measure: (page) => page.evaluate(() => (window as unknown as { scrolled: number }).scrolled),
    least: 200,
  },
];

/** Milliseconds in which the wheel turns one way before it turns back. */
const ONE_WAY = 2500;

/** Turns the mouse wheel over an element as fast as the page takes it, until the function returned is called. */
async function turnWheel(page: Page, over: string): Promise<() => Promise<void>> {
  const box = await page.locator(over).boundingBox();
  if (!box) throw new Error(`frames: ${over} is not on the screen`);
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  let running = true;
  const from = Date.now();
  const turning = (async () => {
    while (running) await page.mouse.wheel(0, Math.floor((Date.now() - from) / ONE_WAY) % 2 === 0 ? 40 : -40);
  })();
  return async () => {
    running = false;
    await turning;
  };
}

async function playingRun(page: Page, seconds: number, { what, begin, measure, least }: Doing): Promise<Run> {
  await page.bringToFront();
  const play = page.locator('bw-transport .play');
  const head = (): Promise<string> =>
    page.locator('bw-close-up').evaluate((view) => {
      return view.shadowRoot?.querySelector<HTMLElement>('.head')?.style.transform ?? '';
    });
  await play.click();
  const end = await begin(page);
  const before = { done: await measure(page), head: await head() };
  const run = await recorded(page, seconds);
  const after = { done: await measure(page), head: await head() };
  await end();
  await play.click();
  // Otherwise a page that does nothing would do best.
  if (after.done - before.done < least * seconds || after.head === before.head)
    throw new Error(`frames: only ${after.done - before.done} in ${seconds} s; it did not play, or no ${what}`);
  return run;
}

async function emptyRun(page: Page, seconds: number): Promise<Run> {
  await page.bringToFront();
  await page.evaluate(animate);
  return recorded(page, seconds);
}

async function recorded(page: Page, seconds: number): Promise<Run> {
  const client = await page.context().newCDPSession(page);
  await client.send('Performance.enable', { timeDomain: 'threadTicks' });
  const worked = async (): Promise<number> => {
    const { metrics } = await client.send('Performance.getMetrics');
    return 1000 * (metrics.find(({ name }) => name === 'TaskDuration')?.value ?? NaN);
  };
  const before = await worked();
  const intervals = await page.evaluate(recordFrames, seconds);
  const after = await worked();
  await client.detach();
  const frames = intervals.length;
  return {
    p99: percentile(intervals, 0.99),
    most: percentile(intervals, 1),
    frames,
    worked: (after - before) / frames,
  };
}

function text(run: Run | undefined): string {
  return run ? `99 % within ${run.p99.toFixed(1)} ms, longest ${run.most.toFixed(1)} ms, ${run.frames} frames` : '-';
}

/** A mono signal as a 16-bit WAV file of so many equal channels. */
export function wave(signal: Float32Array, rate: number, channels = 1): Uint8Array {
  const frame = 2 * channels;
  const bytes = Buffer.alloc(44 + frame * signal.length);
  bytes.write('RIFF', 0);
  bytes.writeUInt32LE(36 + frame * signal.length, 4);
  bytes.write('WAVEfmt ', 8);
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt16LE(1, 20);
  bytes.writeUInt16LE(channels, 22);
  bytes.writeUInt32LE(rate, 24);
  bytes.writeUInt32LE(frame * rate, 28);
  bytes.writeUInt16LE(frame, 32);
  bytes.writeUInt16LE(16, 34);
  bytes.write('data', 36);
  bytes.writeUInt32LE(frame * signal.length, 40);
  for (let i = 0; i < signal.length; i++) {
    const value = Math.round(32767 * Math.max(-1, Math.min(1, signal[i] as number)));
    for (let c = 0; c < channels; c++) bytes.writeInt16LE(value, 44 + frame * i + 2 * c);
  }
  return bytes;
}

/** The same sound left and right. */
export function stereoWave(signal: Float32Array, rate: number): Uint8Array {
  return wave(signal, rate, 2);
}
