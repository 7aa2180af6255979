import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { preview } from 'vite';
import { findChromium } from '../../src/setup/chromium.mjs';
import type {} from '../../src/ui/app-shell.js';

/** Where the README's pictures lie. */
const FOLDER = 'tests/browser/pictures';

/** Takes the README's pictures of the built page anew, driving it as a user does. `npm run bench -- pictures`. */
export async function takePictures(): Promise<readonly string[]> {
  const executablePath = findChromium();
  if (!executablePath) throw new Error('no Chromium found; install one, or name it in the variable CHROMIUM');
  const server = await preview({
    root: 'src',
    configFile: 'vite.config.ts',
    logLevel: 'error',
    build: { outDir: '../dist/web' },
    preview: { port: 0, host: 'localhost' },
  });
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu', '--mute-audio'] });
  mkdirSync(FOLDER, { recursive: true });
  try {
    const site = server.resolvedUrls?.local[0];
    if (!site) throw new Error('the preview server gave no address');
    const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
    const page = await context.newPage();
    await page.goto(site);
    const names: string[] = [];
    const take = async (name: string, of: Page = page): Promise<void> => {
      // The faces of the music are part of the picture.
      await of.evaluate(() => document.fonts.ready);
      await of.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
      await of.screenshot({ path: join(FOLDER, `${name}.png`), animations: 'disabled' });
      names.push(`${FOLDER}/${name}.png`);
    };
    await page.locator('[data-sample="kites-over-brennick.ogg"]').waitFor();
    await take('start');

    await page.locator('[data-sample="tarn-at-wendlow.mp3"]').click();
    await page.locator('bw-map-view').waitFor({ timeout: 300_000 });
    await take('map');

    await page.getByRole('tab', { name: 'Chart' }).click();
    await page.locator('bw-chart-workspace svg').first().waitFor();
    await page.setViewportSize({ width: 1280, height: 1500 });
    await take('chart');
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
    await server.close();
  }
}

/**
 * What a user would do about the worst doubt of this song: the five beats are a bar of three and, before the bridge, one of two.
 * Waits until what changed is shown no more.
 */
async function correctFirstDoubt(page: Page): Promise<void> {
  const bar = await page.evaluate(() => {
    const { map } = document.querySelector('bw-app')!.session.song.value!;
    const starts = map.spans.filter((span) => span.kind === 'bar').map((span) => span.start);
    return starts.indexOf(map.doubts[0]?.time ?? NaN);
  });
  if (bar < 0) throw new Error('pictures: the sample has no doubt any more; choose another bar to correct');
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
