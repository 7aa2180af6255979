import { createHash } from 'node:crypto';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { listed } from '../../src/scripts/offline.mjs';
import { visit, type Visit } from '../support/browser.js';
import { StaticSite } from '../support/static-site.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { wav } from '../platform/decode/signals.js';
import { samplePath } from '../support/sample-evidence.js';
import { bar, chooseButton, done, dropFile, mapShown, said, songShown } from '../support/user.js';

const RATE = 22050;
const site = new StaticSite('/some/where/');
let here: Visit;
let page: Page;
beforeAll(async () => {
  await site.start();
  here = await visit({ site: site.address, offline: true });
  page = here.page;
});
afterAll(async () => {
  expect(here.strangers).toEqual([]);
  await here.context.close();
  await site.remove();
});

/** Puts another version on the server: its page has another title. `whole`: every file is what the list says. */
function publish(title: string, whole = true): void {
  const before = /index\.html`?"?:["`]([0-9a-f]{64})/.exec(site.text('service-worker.js'))![1]!;
  const page = site.text('index.html').replace(/<title>.*<\/title>/, `<title>${title}</title>`);
  site.write('index.html', page);
  const now = whole ? listed(site.folder)['index.html']! : createHash('sha256').update('another').digest('hex');
  const worker = site.text('service-worker.js').replace(before, now);
  site.write('service-worker.js', worker.replace(/(?<![0-9a-f])[0-9a-f]{16}(?![0-9a-f])/, now.slice(0, 16)));
}

const kept = (): Promise<boolean> =>
  page.evaluate(
    async () => (await navigator.serviceWorker.ready).active !== null && !!navigator.serviceWorker.controller,
  );
const loadedTitle = (): Promise<string> =>
  page.evaluate(async () => (await (await fetch('./')).text()).match(/<title>(.*)</)![1]!);

it('can be installed: a manifest with icons of the sizes it names', async () => {
  const manifest = await page.evaluate(async () => {
    const { href } = document.querySelector<HTMLLinkElement>('link[rel=manifest]')!;
    const { icons, ...rest } = (await (await fetch(href)).json()) as { icons: { src: string; sizes: string }[] };
    const found = icons.map(async ({ src, sizes }) => {
      const picture = await createImageBitmap(await (await fetch(new URL(src, href))).blob());
      return sizes === `${picture.width}x${picture.height}`;
    });
    return { ...rest, sizes: await Promise.all(found) };
  });
  expect(manifest).toMatchObject({ name: 'Barwright', start_url: './', scope: './', display: 'standalone' });
  expect(manifest.sizes).toEqual([true, true, true]);
});

it('works without a network after the first visit: loads, analyses, keeps, corrects', async () => {
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await kept();
  await site.stop();
  await page.reload();
  await chooseButton(page).waitFor();
  const { signal } = await decodeFile(samplePath('tarn-at-wendlow.mp3'));
  const bytes = wav({ rate: RATE, channels: [signal.slice(13 * RATE, 37 * RATE)] });
  await dropFile(page, { name: 'tarn_excerpt.wav', bytes });
  await songShown(page);
  await bar(page, 2).click();
  await page.keyboard.press('2');
  await done(page, 'bar 2: 2 beats');
  expect(here.faults.filter((fault) => !/ERR_CONNECTION_REFUSED/.test(fault))).toEqual([]);
});

it('stays as it is when a new version on the server is not whole', async () => {
  publish('Half a version', false);
  await site.start();
  const outcome = await page.evaluate(async () => {
    const registration = await navigator.serviceWorker.ready;
    const found = new Promise<string>((resolve) =>
      registration.addEventListener('updatefound', () => {
        const { installing } = registration;
        installing!.addEventListener('statechange', () => resolve(installing!.state));
      }),
    );
    await registration.update();
    return found;
  });
  expect(outcome).toBe('redundant');
  expect(await loadedTitle()).toBe('Barwright');
});

it('offers a new version, and takes it over with the song open and its last edit kept', async () => {
  publish('Second version');
  await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
  await said(page, /^A new version of Barwright is ready/).waitFor();
  expect(await loadedTitle()).toBe('Barwright');
  const before = await mapShown(page);
  const reloaded = page.waitForEvent('load');
  await page.getByRole('button', { name: 'Use it now' }).click();
  await reloaded;
  await songShown(page);
  expect(await mapShown(page)).toEqual(before);
  expect(await loadedTitle()).toBe('Second version');
});

it('takes a new version over at the next start when the user did not agree', async () => {
  publish('Third version');
  await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
  await said(page, /^A new version of Barwright is ready/).waitFor();
  await page.getByRole('button', { name: 'Close this message' }).click();
  expect(await loadedTitle()).toBe('Second version');
  // The page loads itself once more when the waiting version has taken over.
  await page.reload();
  await page.waitForFunction(async () => (await (await fetch('./')).text()).includes('Third version'));
  await chooseButton(page).waitFor();
});
