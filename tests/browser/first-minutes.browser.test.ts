import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bringAxe } from '../support/axe.js';
import { visit, type Visit } from '../support/browser.js';
import { sampleProject } from '../support/seed.js';
import { audible, chooseButton, chooseFile, done, fromMenu, openKept, songShown, toAllSongs } from '../support/user.js';

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit({ guided: true });
  ({ page } = here);
  await chooseButton(page).waitFor();
});
afterAll(async () => {
  expect(here.faults).toEqual([]);
  await here.context.close();
});

const strip = () => page.getByRole('region', { name: 'The way through your first song' });
const now = () => strip().locator('[aria-current=step]');

async function axeComplaints(): Promise<readonly string[]> {
  await bringAxe(page);
  const { violations } = await page.evaluate(() =>
    (globalThis as unknown as { axe: { run(options: object): Promise<AxeResults> } }).axe.run({
      rules: { 'label-content-name-mismatch': { enabled: false } },
    }),
  );
  return violations.flatMap(({ id, nodes }) => nodes.map(({ target }) => `${id} ${target.flat().join(' ')}`));
}

it('opens the help from the first page, with every picture seen, and gives the focus back', async () => {
  const opener = page.getByRole('button', { name: 'How it works' });
  await opener.click();
  const help = page.getByRole('region', { name: 'Help' });
  await help.getByRole('button', { name: /Close/ }).and(page.locator(':focus')).waitFor();
  const pictures = help.getByRole('img');
  const count = await pictures.count();
  expect(count).toBeGreaterThanOrEqual(4);
  for (let i = 0; i < count; i++) {
    await pictures.nth(i).scrollIntoViewIfNeeded();
    await pictures.nth(i).evaluate((image) => (image as HTMLImageElement).decode());
    expect(await pictures.nth(i).evaluate((image) => (image as HTMLImageElement).naturalWidth)).toBeGreaterThan(100);
  }
  expect(await axeComplaints()).toEqual([]);
  await page.keyboard.press('Escape');
  await help.waitFor({ state: 'detached' });
  await opener.and(page.locator(':focus')).waitFor();
});

it('leads through the first song, each step ticked by doing it', async () => {
  await chooseFile(page, chooseButton(page), await sampleProject('tarn-at-wendlow.mp3', { audio: true }));
  await songShown(page);
  await audible(page);
  await strip().waitFor();
  expect(await now().innerText()).toBe('Doubts');
  expect(await axeComplaints()).toEqual([]);
  // By keys alone: F6 reaches it, Enter does what it says.
  await strip()
    .getByRole('button', { name: /^Hear the doubt/ })
    .press('Enter');
  await page.keyboard.press('y');
  await now().filter({ hasText: 'Sections' }).waitFor();
  await strip().getByRole('button', { name: 'Accept all' }).click();
  await done(page, /^Undo.*section/i);
  await now().filter({ hasText: 'Play' }).waitFor();
  await strip()
    .getByRole('button', { name: /^Open "Play"/ })
    .click();
  const transport = page.locator('bw-transport');
  if ((await transport.getByRole('button', { name: 'Stop', exact: true }).count()) === 0)
    await transport.getByRole('button', { name: 'Play', exact: true }).click();
  await now().filter({ hasText: 'Chart' }).waitFor();
  await strip()
    .getByRole('button', { name: /^Open "Chart"/ })
    .click();
  await strip().getByText('That is the whole way.').waitFor();
});

it('covers nothing on a phone', async () => {
  await page.setViewportSize({ width: 390, height: 844 });
  await strip().waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
  const box = (await strip().boundingBox())!;
  const tabs = (await page.getByRole('tablist').boundingBox())!;
  expect(box.y).toBeGreaterThanOrEqual(tabs.y + tabs.height - 1);
  const workspace = (await page.locator('bw-chart-workspace').boundingBox())!;
  expect(workspace.y).toBeGreaterThanOrEqual(box.y + box.height - 1);
  await page.setViewportSize({ width: 1280, height: 800 });
});

it('never comes back once it is closed', async () => {
  await strip().getByRole('button', { name: 'Close' }).click();
  await strip().waitFor({ state: 'detached' });
  await toAllSongs(page);
  await page.reload();
  await openKept(page, 'The Tarn at Wendlow');
  expect(await strip().count()).toBe(0);
});

it('opens the help from the menu, and its table of keys', async () => {
  await fromMenu(page, 'Help');
  await page.getByRole('region', { name: 'Help' }).getByText('Take the shown reading').waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('region', { name: 'Help' }).waitFor({ state: 'detached' });
});
