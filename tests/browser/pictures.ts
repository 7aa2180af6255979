import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import type {} from '../../src/app/shell/app-shell.js';
import { QUIET_BROWSER, serveBuiltPage } from '../support/built-page.js';

/** Where the README's pictures lie. */
const FOLDER = 'tests/browser/pictures';

/** Where the pictures of the help lie: parts of the screen, small. */
const HELP_FOLDER = 'src/app/shell/help/pictures';
/** Pixels of a help picture for one of the screen. */
const SMALL = 0.75;

/** Takes the pictures of README and help anew from the built page, driving it as a user does. `npm run bench -- pictures`. */
export async function takePictures(): Promise<readonly string[]> {
  const { site, executablePath, close } = await serveBuiltPage();
  const browser = await chromium.launch({ executablePath, args: QUIET_BROWSER });
  mkdirSync(FOLDER, { recursive: true });
  mkdirSync(HELP_FOLDER, { recursive: true });
  try {
    const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
    const page = await context.newPage();
    const devtools = await context.newCDPSession(page);
    await page.goto(site);
    const names: string[] = [];
    const take = async (name: string, of: Page = page): Promise<void> => {
      await settle(of);
      await of.screenshot({ path: join(FOLDER, `${name}.png`), animations: 'disabled' });
      names.push(`${FOLDER}/${name}.png`);
    };
    /** A part of the page for the help, at most so many pixels high. */
    const takePart = async (name: string, of: string, height: number): Promise<void> => {
      await settle(page);
      const box = (await page.locator(of).first().boundingBox())!;
      const clip = { x: box.x, y: box.y, width: box.width, height: Math.min(box.height, height), scale: SMALL };
      const { data } = await devtools.send('Page.captureScreenshot', { format: 'webp', quality: 70, clip });
      const path = `${HELP_FOLDER}/${name}.webp`;
      writeFileSync(path, Buffer.from(data, 'base64'));
      names.push(path);
    };
    await page.locator('[data-sample="kites-over-brennick.ogg"]').waitFor();
    await take('start');

    await page.locator('[data-sample="tarn-at-wendlow.mp3"]').click();
    await page.locator('bw-map-view').waitFor({ timeout: 300_000 });
    await page.getByRole('button', { name: 'Close the guide' }).click();
    await take('map');
    await page.setViewportSize({ width: 1280, height: 1100 });
    await takePart('map', 'bw-map-view', 500);
    await takePart('doubts', 'bw-doubts', 420);
    await page.getByRole('tab', { name: 'Passes' }).click();
    await page.locator('bw-passes-workspace').getByRole('button', { name: /Verse/ }).first().click();
    await takePart('passes', 'bw-passes-workspace', 500);
    await page.getByRole('tab', { name: 'Play' }).click();
    await takePart('play', 'bw-play-stage', 600);

    await page.getByRole('tab', { name: 'Chart' }).click();
    await page.locator('bw-chart-workspace svg').first().waitFor();
    await page.setViewportSize({ width: 1280, height: 1500 });
    await take('chart');
    await takePart('chart', 'bw-chart-workspace svg', 560);
    await page.setViewportSize({ width: 1280, height: 800 });
    await page.getByRole('tab', { name: 'Map' }).click();

    await correctFirstDoubt(page);
    await take('corrected');

    await page.evaluate(() => document.querySelector('bw-app')!.session.dismissNotice());
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.setViewportSize({ width: 390, height: 844 });
    await take('phone');
    await context.close();
    return names;
  } finally {
    await browser.close();
    await close();
  }
}

/** Resolves when everything is drawn, the faces of the music too. */
async function settle(page: Page): Promise<void> {
  await page.evaluate(() => document.fonts.ready);
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}

/**
 * What a user would do about the first doubtful bar of five in this song: the five beats are a bar of three and, before the bridge, one of two.
 * Waits until what changed is shown no more.
 */
async function correctFirstDoubt(page: Page): Promise<void> {
  const bar = await page.evaluate(() => {
    const { map } = document.querySelector('bw-app')!.session.song.value!;
    const bars = map.spans.filter((span) => span.kind === 'bar');
    return bars.findIndex(({ start, beats }) => beats.length === 5 && map.doubts.some(({ time }) => time === start));
  });
  if (bar < 0) throw new Error('pictures: the sample has no such doubt any more; choose another bar to correct');
  for (const [place, beats, locks] of [
    [bar, '3', 1],
    [bar + 1, '2', 2],
  ] as const) {
    await page.locator(`bw-map-view [data-bar="${place}"]`).click();
    await page.keyboard.press(beats);
    await page.waitForFunction((count) => {
      const song = document.querySelector('bw-app')!.session.song.value!;
      return song.map.locks.length >= count && !song.solving && song.changed.length === 0 && song.saved === 'saved';
    }, locks);
  }
}
