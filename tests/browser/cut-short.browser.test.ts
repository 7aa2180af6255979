import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Session } from '../../src/app/kit/session.js';
import { inFour, wav } from '../platform/decode/signals.js';
import { visit, type Visit } from '../support/browser.js';
import { lanternProject } from '../support/seed.js';
import {
  audible,
  done,
  downloaded,
  dropFile,
  fromMenu,
  openKept,
  said,
  songShown,
  writeTitle,
} from '../support/user.js';

/** Long work that is broken off: the page reloaded while it renders, and every worker killed without a word. */

declare global {
  interface Window {
    cut: Session;
    /** The worker of this name is killed at its next sign of life, or, where it gives none, when it is asked to solve. */
    doomed: string | undefined;
    killed: string[];
    /** Lets every watch over a worker look so often that it gives up one that says nothing. */
    minutesPass(): void;
  }
}

const OTHER = { name: 'other_clicks.wav', bytes: wav({ rate: 22050, channels: [inFour(22050, 9)] }) };
const EDITED = 'Lantern Row';

let here: Visit;
let page: Page;
const asked: string[] = [];
const files: string[] = [];
beforeAll(async () => {
  here = await visit();
  await here.context.addInitScript(killing);
  await here.page.close();
  page = await here.context.newPage();
  page.on('dialog', (dialog) => {
    asked.push(dialog.type());
    void dialog.accept();
  });
  page.on('download', (file) => files.push(file.suggestedFilename()));
  await page.goto(here.page.url());
  await dropFile(page, lanternProject());
  await songShown(page);
  await writeTitle(page, EDITED);
  await done(page, `title: ${EDITED}`);
  await held();
});
afterAll(async () => {
  expect(here.faults).toEqual([]);
  await here.context.close();
});

/** In the page before its own scripts: workers that can be killed as an operating system does it, without an event. */
function killing(): void {
  window.killed = [];
  window.Worker = class extends Worker {
    readonly #name: string | undefined;
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      // After the task the name tells the language.
      this.#name = options?.name?.split(' ')[0];
      this.addEventListener('message', ({ data }) => {
        if (['report', 'progress'].includes((data as { kind: string }).kind)) this.#fate();
      });
    }
    override postMessage(message: { kind?: string }, given?: Transferable[] | StructuredSerializeOptions): void {
      super.postMessage(message, given as Transferable[]);
      if (message.kind === 'solve') this.#fate();
    }
    #fate(): void {
      if (window.doomed === undefined || window.doomed !== this.#name) return;
      window.doomed = undefined;
      window.killed.push(this.#name);
      this.terminate();
    }
  } as typeof Worker;
  const watches = new Map<unknown, () => void>();
  const [begin, end] = [window.setInterval, window.clearInterval];
  window.setInterval = ((look: () => void, every: number) => {
    const id = begin(look, every);
    if (every >= 5000) watches.set(id, look);
    return id;
  }) as typeof setInterval;
  window.clearInterval = (id) => {
    watches.delete(id);
    end(id);
  };
  window.minutesPass = () => {
    for (let i = 0; i < 20; i += 1) for (const look of watches.values()) look();
  };
}

const held = (): Promise<void> =>
  page.evaluate(() => {
    window.cut = document.querySelector('bw-app')!.session;
  });

/** What lies in the page's folder of tracks. */
const tracksKept = (): Promise<string[]> =>
  page.evaluate(async () => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('practice-tracks');
    const names: string[] = [];
    for await (const name of folder.keys()) names.push(name);
    return names;
  });

/** Loads the page again in the midst of the work, which is asked about; then the song is there with its last edit. */
async function reloadMidway(text: RegExp): Promise<void> {
  await page.waitForFunction(
    ({ source }) => {
      const task = window.cut.task.value;
      return task !== undefined && new RegExp(source).test(task.text) && task.done > 0.32;
    },
    { source: text.source },
  );
  [asked.length, files.length] = [0, 0];
  await page.reload();
  expect(asked).toEqual(['beforeunload']);
  await openKept(page, EDITED);
  await held();
  await page.getByRole('button', { name: `Undo title: ${EDITED}`, exact: true }).waitFor();
  await audible(page);
  expect(files).toEqual([]);
}

async function makeTracks(speeds: string): Promise<void> {
  await page.getByRole('tab', { name: 'Play' }).click();
  await page.getByLabel('Speeds in percent').fill(speeds);
  await page.getByRole('button', { name: /^Make (the track|\d+ tracks)$/ }).click();
}

async function makeClip(): Promise<void> {
  await fromMenu(page, 'Export and import…');
  await page.getByRole('button', { name: 'Make the clip' }).click();
}

it('a reload while practice tracks are made is asked about; no half of one stays, and they can be made again', async () => {
  await audible(page);
  await makeTracks('40 45 50 55 60 65 70 75');
  await reloadMidway(/^Making 8 practice tracks$/);
  await expect.poll(tracksKept, { timeout: 60_000 }).toEqual([]);
  const { name, bytes } = await downloaded(page, () => makeTracks('100'));
  expect(name).toMatch(/^Lantern Row 100 percent .*\.wav$/);
  expect(Buffer.from(bytes).readUInt32LE(4)).toBe(bytes.length - 8);
  expect(await tracksKept()).toEqual([expect.not.stringMatching(/\.half$/)]);
});

it('a reload while a clip is made is asked about', async () => {
  await makeClip();
  await reloadMidway(/^Making a clip$/);
});

/** Asks for something whose worker is killed midway; then, after some silence, that is said. */
async function killed(name: string, ask: () => Promise<unknown>, text: string): Promise<void> {
  const before = await page.evaluate(() => JSON.stringify(window.cut.song.value!.map));
  await page.evaluate((role) => {
    [window.doomed, window.killed] = [role, []];
  }, name);
  const asking = ask();
  await page.waitForFunction(() => window.killed.length === 1);
  await page.evaluate(() => window.minutesPass());
  await said(page, text).waitFor();
  await asking;
  expect(await page.evaluate(() => window.cut.task.value)).toBeUndefined();
  expect(await page.evaluate(() => JSON.stringify(window.cut.song.value!.map))).toBe(before);
}

const tryAgain = (): Promise<void> => page.getByRole('button', { name: 'Try again' }).click();

it.each([
  ['tracks', () => makeTracks('100'), 'The tracks could not be made: it stopped unexpectedly.', /\.wav$/],
  ['clip', makeClip, 'The clip could not be made: it stopped unexpectedly.', /\.webm$/],
] as const)(
  'a killed worker that makes %s is noticed and said, and trying again makes them',
  async (role, ask, text, name) => {
    await killed(role, ask, text);
    expect((await downloaded(page, tryAgain)).name).toMatch(name);
  },
);

it('a killed worker that solves is noticed and said, and trying again does the edit', async () => {
  await page.getByRole('tab', { name: 'Map' }).click();
  const edit = (): Promise<void> =>
    page.evaluate(() => {
      window.cut.view.cursor.value = window.cut.song.value!.map.spans.find(({ kind }) => kind === 'bar')!.start + 0.1;
      return window.cut.lengthKey(3, false);
    });
  await killed('analysis', edit, 'The analysis stopped unexpectedly; nothing of the song is lost.');
  await tryAgain();
  await done(page, /^Undo bar \d+: 3 beats$/);
});

it('a killed worker that decodes is noticed and said; the open song stays, and the file can be given again', async () => {
  await killed('decode', () => dropFile(page, OTHER), 'Decoding came to a standstill');
  await audible(page);
});

it('a killed worker that analyses is noticed and said; the open song stays, and trying again makes the other', async () => {
  await killed(
    'analysis',
    () => dropFile(page, OTHER),
    'The analysis stopped unexpectedly; nothing of the song is lost.',
  );
  await audible(page);
  await tryAgain();
  await page.waitForFunction(() => window.cut.song.value?.map.title === 'Other Clicks');
  await page.evaluate(() => window.cut.closeSong());
  await openKept(page, EDITED);
});
