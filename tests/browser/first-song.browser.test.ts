import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { STEPS } from '../../src/analysis/progress.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { beatsOf } from '../../src/music/meter.js';
import { STEP_TEXTS } from '../../src/app/kit/sentences.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { clicks, wav } from '../platform/decode/signals.js';
import { visit, type Visit } from '../support/browser.js';
import { samplePath } from '../support/sample-evidence.js';
import { audible, bar, chooseButton, chooseFile, clickBeat, dropFile, fileAt, fromMenu } from '../support/user.js';
import { mapShown, said, songShown, toAllSongs, type GivenFile } from '../support/user.js';

declare global {
  interface Window {
    /** Each step that the progress bar named, and whether outline and beats were there then. */
    steps: { text: string; outline: boolean; beats: boolean }[];
  }
}

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit();
  ({ page } = here);
  await chooseButton(page).waitFor();
});
afterAll(() => here.context.close());
afterEach(() => {
  expect(here.faults).toEqual([]);
  expect(here.strangers).toEqual([]);
});

/** Notes from here on what the progress bar says. */
const noteSteps = (): Promise<void> =>
  page.evaluate(() => {
    const app = document.querySelector('bw-app')!;
    window.steps = [];
    app.session.task.subscribe((task) => {
      if (!task || window.steps.at(-1)?.text === task.text) return;
      const beats = (task.found?.beats.length ?? 0) > 0;
      window.steps.push({ text: task.text, outline: (task.outline?.data.length ?? 0) > 0, beats });
    });
  });
const progress = () => page.getByRole('progressbar');
/** Bar lengths as the truth beside the recording has them; measure 0 is the pickup. */
function truthOf(name: string): number[] {
  const { annotations } = JSON.parse(readFileSync(`samples/${name}.jams`, 'utf8')) as {
    annotations: { namespace: string; data: { value: { measure: number } }[] }[];
  };
  const lengths: number[] = [];
  for (const { value } of annotations.find(({ namespace }) => namespace === 'beat_position')!.data)
    lengths[value.measure] = (lengths[value.measure] ?? 0) + 1;
  return lengths;
}

const TARN = samplePath('tarn-at-wendlow.mp3');

describe('the first song', () => {
  it('is called off by Cancel, and the page is as it was', async () => {
    await dropFile(page, fileAt(TARN));
    await progress().waitFor();
    await page.locator('bw-loading-view path.outline[d^="M"]').waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await said(page, 'Nothing was changed.').waitFor();
    await chooseButton(page).waitFor();
    expect(await progress().count()).toBe(0);
    expect(await page.locator('bw-song-library li').count()).toBe(0);
  });

  it('is one click away; its outline is there and can be heard while the steps are named', async () => {
    await noteSteps();
    await page.getByRole('button', { name: /^Kites over Brennick/ }).click();
    await page.getByRole('button', { name: 'Listen meanwhile' }).click();
    await page.locator('bw-loading-view').getByRole('button', { name: 'Stop', exact: true }).waitFor();
    await songShown(page);
    const steps = await page.evaluate(() => window.steps);
    expect(steps.map(({ text }) => text)).toEqual([
      'Reading "kites-over-brennick.ogg"',
      ...STEPS.map((step) => STEP_TEXTS[step]),
    ]);
    expect(steps.slice(1).every(({ outline }) => outline)).toBe(true);
    // From what the network hears on, the outline has beats; sections and chords come after.
    expect(steps.filter(({ beats }) => beats).map(({ text }) => text)).toEqual(
      STEPS.slice(2).map((step) => STEP_TEXTS[step]),
    );
    expect(await page.title()).toBe('Kites over Brennick – Barwright');
  });

  it('has the bars that were played, the short and the long one among them', async () => {
    const map = await mapShown(page);
    const truth = truthOf('kites-over-brennick');
    const lengths = barsOf(map).map(({ meter }) => beatsOf(meter));
    expect(lengths).toHaveLength(truth.length);
    for (const beats of [3, 6]) {
      const number = truth.indexOf(beats);
      expect(lengths.indexOf(beats)).toBe(number);
      expect(await bar(page, number).getAttribute('aria-label')).toMatch(
        new RegExp(`^bar ${number}, ${beats} beats, irregular`),
      );
    }
    await said(page, /^79 bars, 4\/4, about 9\d bpm; 2 bars of another length; /).waitFor();
    // The news lies over no part of the bar panel.
    const news = await page.locator('bw-notice-bar .notice').boundingBox();
    const panel = await page.locator('bw-bar-inspector').boundingBox();
    expect(panel!.y + panel!.height).toBeLessThanOrEqual(news!.y);
    expect(await page.locator('bw-song-header .facts').innerText()).toMatch(/bpm\s+4\/4\s+D major/);
  });

  it('plays and stops by space: the place moves on and the sounding bar is lit', async () => {
    await page.evaluate(() => document.querySelector('bw-app')!.session.stop());
    await audible(page);
    await clickBeat(page, 10, 4);
    await page.keyboard.press(' ');
    const lit = page.locator('bw-map-view [data-sounding]');
    await page.locator('bw-map-view [data-bar="11"][data-sounding]').waitFor();
    expect(await lit.count()).toBe(1);
    const place = page.getByRole('group', { name: 'Position' });
    expect(await place.innerText()).toMatch(/^bar 11\.[12]\s*0:2\d/);
    await bar(page, 12).click({ position: { x: 4, y: 20 } });
    await page.locator('bw-map-view [data-bar="12"][data-sounding]').waitFor();
    await page.keyboard.press(' ');
    await page.getByRole('button', { name: 'Play', exact: true }).waitFor();
    expect(await lit.count()).toBe(0);
    const rests = await place.innerText();
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    expect(await place.innerText()).toBe(rests);
  });

  it('has a click to be turned on and off', async () => {
    const click = page.locator('bw-transport').getByRole('button', { name: /^Click o/ });
    const before = await click.getAttribute('aria-pressed');
    await click.click();
    expect(await click.getAttribute('aria-pressed')).not.toBe(before);
    await click.click();
    expect(await click.getAttribute('aria-pressed')).toBe(before);
  });
});

describe('a file that cannot be used', () => {
  const text = (words: string): Uint8Array => new TextEncoder().encode(words);
  const cases: readonly (readonly [name: string, bytes: Uint8Array, words: RegExp])[] = [
    ['shopping.mp3', text('Two strings, a capo, and new felt.\n'.repeat(40)), /not a recording.*Choose/],
    ['nothing.wav', new Uint8Array(), /empty \(0 bytes\)/],
    ['short.wav', wav({ rate: 44100, channels: [clicks(44100, 2)] }), /lasts 2\.0 seconds; at least 5/],
    ['cut.barwright', text('{"format":"barwright-project","version":1,"map":{"title":"Cut of'), /project/i],
  ];

  it.each(cases)(
    '(%s) is refused in a clear sentence, and the open song stays as it was',
    async (name, bytes, words) => {
      const before = await mapShown(page);
      await dropFile(page, { name, bytes });
      const alert = page.getByRole('alert').filter({ hasText: words });
      await alert.waitFor();
      expect(await mapShown(page)).toEqual(before);
      await audible(page);
      await page.getByRole('button', { name: 'Close this message' }).click();
      await alert.waitFor({ state: 'detached' });
    },
  );
});

describe('another file', () => {
  let before: SongMap;
  let excerpt: GivenFile;
  beforeAll(async () => {
    before = await mapShown(page);
    // 24 seconds of the other song, so that its analysis is short.
    const { signal } = await decodeFile(TARN);
    const rate = 22050;
    excerpt = { name: 'tarn_excerpt.wav', bytes: wav({ rate, channels: [signal.slice(13 * rate, 37 * rate)] }) };
  });

  it('is called off while it is analysed, and the open song stays as it was', async () => {
    await dropFile(page, fileAt(TARN));
    await page.getByText(STEP_TEXTS.features).waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await said(page, 'Nothing was changed.').waitFor();
    expect(await progress().count()).toBe(0);
    expect(await mapShown(page)).toEqual(before);
    await audible(page);
  });

  it('is dropped and opens as a song of its own', async () => {
    await dropFile(page, excerpt);
    await page.waitForFunction(() => document.title.startsWith('Tarn Excerpt'));
    const map = await mapShown(page);
    expect(map.prevailing).toMatchObject({ count: 3, unit: 4 });
    expect(barsOf(map).length).toBeGreaterThan(10);
    await toAllSongs(page);
    expect(await page.locator('bw-song-library li').count()).toBe(2);
  });

  it('that is in the library already is opened as it was left, not analysed again', async () => {
    await page.getByRole('button', { name: /^Kites over Brennick.*changed/ }).click();
    await songShown(page);
    await noteSteps();
    const chooser = page.waitForEvent('filechooser');
    await fromMenu(page, 'Open a recording or a project…');
    await (await chooser).setFiles({ name: 'again.wav', mimeType: 'audio/wav', buffer: Buffer.from(excerpt.bytes) });
    await said(page, 'You have this recording already: here is "Tarn Excerpt" as you left it.').waitFor();
    expect((await mapShown(page)).title).toBe('Tarn Excerpt');
    expect((await page.evaluate(() => window.steps)).map(({ text }) => text)).toEqual(['Reading "again.wav"']);
  });

  it('is chosen by the button of the first page', async () => {
    await toAllSongs(page);
    await chooseFile(page, chooseButton(page), { ...excerpt, name: 'once more.wav' });
    await said(page, 'You have this recording already').waitFor();
  });
});
