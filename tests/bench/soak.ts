import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { chromium, type Page } from 'playwright-core';
import type { Session } from '../../src/app/kit/session.js';
import { QUIET_BROWSER, withBuiltPage } from '../support/built-page.js';
import { REFERENCE_RATE } from '../support/reference-beats.js';
import { wave } from './frames.js';
import { dice, type Dice } from './made/dice.js';
import { proportionalSize } from './memory.js';
import { BENCH_SAMPLE, songOfLength } from './songs.js';

interface Sample {
  readonly step: number;
  /** Proportional set size of the browser's processes, in MB. */
  readonly memory: number;
}

/** How often memory is looked at, in steps; and how often the page is reloaded. */
const EVERY = 50;
const RELOAD = 100;

/**
 * `soak [--steps N] [--minutes N] [--seed N]`: random edits, undos, plays, reloads and faults on a long song in the real page: the
 * disk is full for an edit, the system interrupts the sound, the page is reloaded in the middle of an edit. After every reload the
 * map has to be the one before, or that with the edit under way; errors of the page and violated invariants end it.
 */
export async function soakBench(words: readonly string[]): Promise<string> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      steps: { type: 'string', default: '1000' },
      minutes: { type: 'string', default: '10' },
      seed: { type: 'string', default: '1' },
    },
  });
  return withBuiltPage(async ({ site, executablePath }, folder) => {
    const file = join(folder, 'long-song.wav');
    writeFileSync(file, wave((await songOfLength(60 * Number(values.minutes))).reference, REFERENCE_RATE));
    const host = await chromium.launchServer({ executablePath, args: QUIET_BROWSER });
    try {
      const browser = await chromium.connect(host.wsEndpoint());
      const page = await browser.newPage();
      page.setDefaultTimeout(600_000);
      const faults: string[] = [];
      page.on('pageerror', (error) => faults.push(String(error)));
      await page.addInitScript(provoke);
      await page.goto(site);
      const chooser = page.waitForEvent('filechooser');
      await page.locator('[data-act=choose]').click();
      await (await chooser).setFiles(file);
      await hold(page);
      await page.waitForFunction(() => window.soaked.song.value?.saved === 'saved');
      return await soak(page, host.process().pid!, dice(Number(values.seed)), Number(values.steps), faults);
    } finally {
      await host.close();
    }
  });
}

declare global {
  interface Window {
    soaked: Session;
    /** Set to let every write to the database fail. */
    soakedFull: boolean;
    soakedContexts: AudioContext[];
  }
}

/** Runs before the page's own scripts: what the faults need. */
function provoke(): void {
  const { put } = IDBObjectStore.prototype;
  IDBObjectStore.prototype.put = function (...args) {
    if (window.soakedFull) throw new DOMException('no room', 'QuotaExceededError');
    return put.apply(this, args);
  };
  window.soakedContexts = [];
  const Original = AudioContext;
  window.AudioContext = class extends Original {
    constructor(options?: AudioContextOptions) {
      super(options);
      window.soakedContexts.push(this);
    }
  };
}

async function hold(page: Page): Promise<void> {
  await page.waitForSelector('bw-app');
  await page.evaluate(() => {
    window.soaked = document.querySelector('bw-app')!.session;
  });
}

async function soak(page: Page, pid: number, roll: Dice, steps: number, faults: string[]): Promise<string> {
  const done: Record<string, number> = {};
  const samples: Sample[] = [{ step: 0, memory: Math.round(proportionalSize(pid)) }];
  for (let step = 1; step <= steps; step += 1) {
    const kind =
      step % RELOAD === 0
        ? 'reload'
        : roll.weighted([
            ['length', 40],
            ['shift', 8],
            ['beat', 12],
            ['undo', 22],
            ['redo', 8],
            ['play', 10],
            ['full', 4],
            ['interrupt', 3],
            ['cut', 1],
          ] as const);
    done[kind] = (done[kind] ?? 0) + 1;
    if (kind === 'reload') await reload(page, step);
    else if (kind === 'cut') await cut(page, step, [roll.next(), roll.int(2, 6)]);
    else await page.evaluate(act, [kind, roll.next(), roll.int(2, 6)] as const);
    if (faults.length > 0) throw new Error(`step ${step} (${kind}): ${faults[0]}`);
    const said = await page.evaluate(() => window.soaked.notice.value?.text ?? '');
    if (/does not add up|Something went wrong|stopped unexpectedly/.test(said))
      throw new Error(`step ${step}: ${said}`);
    if (step % EVERY === 0) {
      samples.push({ step, memory: Math.round(proportionalSize(pid)) });
      process.stderr.write(`  step ${step}: ${samples.at(-1)!.memory} MB\n`);
    }
  }
  const counts = Object.entries(done).map(([kind, count]) => `${count} ${kind}`);
  const series = samples.map(({ step, memory }) => `${step}: ${memory}`);
  return `${BENCH_SAMPLE} repeated; ${steps} steps (${counts.join(', ')}); no fault\nMB by step: ${series.join(', ')}\n`;
}

/** One random step in the page, over when it is stored. */
async function act([kind, where, beats]: readonly [string, number, number]): Promise<void> {
  const session = window.soaked;
  const bars = session.song.value!.map.spans.filter((span) => span.kind === 'bar');
  session.view.cursor.value = bars[Math.floor(where * bars.length)]!.start + 0.05;
  const run = async (id: string): Promise<void> => {
    const command = session.commands.find((each) => each.id === id);
    if (!command) throw new Error(`there is no command "${id}"`);
    if (command.allowed(session)) await command.run(session);
  };
  if (kind === 'length') await session.lengthKey(beats, false);
  else if (kind === 'shift') await run(beats % 2 ? 'lines-earlier' : 'lines-later');
  else if (kind === 'beat') await run(beats % 2 ? 'beat-insert' : 'beat-remove');
  else if (kind === 'undo') await session.undo();
  else if (kind === 'redo') await session.redo();
  else if (kind === 'full') {
    window.soakedFull = true;
    await session.lengthKey(beats, false);
    // The edit is applied, or refused as one that changes nothing; a failed write is shown as one.
    window.soakedFull = false;
    // A write that was under way still fails; the next edit tries again.
    for (let tries = 1; session.song.value!.saved !== 'saved'; tries++) {
      await session.retitle(`Soaked ${where} ${tries}`);
      while (session.song.value!.saved === 'saving') await new Promise(requestAnimationFrame);
    }
  } else if (session.song.value!.audible) {
    await session.play(session.view.cursor.value);
    for (let frame = 0; frame < 20; frame += 1) await new Promise(requestAnimationFrame);
    if (kind !== 'interrupt') return session.stop();
    await window.soakedContexts.at(-1)!.suspend();
    while (session.playing.value) await new Promise(requestAnimationFrame);
  }
}

async function reload(page: Page, step: number): Promise<void> {
  const before = await storedMap(page);
  if ((await mapAfterReload(page)) !== before) throw new Error(`step ${step}: after the reload the map was another`);
}

/** A reload while an edit is solved: afterwards the map is the one before, or that edit is done. */
async function cut(page: Page, step: number, [where, beats]: readonly [number, number]): Promise<void> {
  const before = await storedMap(page);
  await page.evaluate(
    ([place, length]) => {
      const bars = window.soaked.song.value!.map.spans.filter((span) => span.kind === 'bar');
      window.soaked.view.cursor.value = bars[Math.floor(place * bars.length)]!.start + 0.05;
      void window.soaked.lengthKey(length, false);
    },
    [where, beats] as const,
  );
  const after = await mapAfterReload(page);
  const undo = await page.evaluate(() => window.soaked.song.value?.undoLabel);
  if (after !== before && !undo?.includes(`${beats} beats`))
    throw new Error(`step ${step}: the map is another, and the edit that was cut short is not its last (${undo})`);
}

/** The map once it is stored. */
function storedMap(page: Page): Promise<string> {
  return page.evaluate(async () => {
    while (window.soaked.song.value?.saved !== 'saved') await new Promise(requestAnimationFrame);
    return JSON.stringify(window.soaked.song.value.map);
  });
}

async function mapAfterReload(page: Page): Promise<string> {
  await page.reload();
  await hold(page);
  await page.waitForFunction(() => window.soaked.songs.value.length > 0);
  await page.evaluate(() => window.soaked.openSong(window.soaked.songs.value[0]!.id));
  await page.waitForFunction(() => window.soaked.song.value?.audible && window.soaked.song.value.saved === 'saved');
  return storedMap(page);
}
