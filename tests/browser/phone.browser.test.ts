import type { Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect } from 'vitest';
import { barsOf, sectionOfBar } from '../../src/model/map-queries.js';
import { chromiumOnly, visit, type Visit } from '../support/browser.js';
import { sampleProject } from '../support/seed.js';
import { smallTargets } from '../support/small-targets.js';
import {
  audible,
  bar,
  chooseButton,
  done,
  downloaded,
  mapShown,
  said,
  songShown,
  toAllSongs,
} from '../support/user.js';

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit({ width: 390, height: 844, touch: true });
  ({ page } = here);
  const project = await sampleProject('kites-over-brennick.ogg', { audio: true });
  const chooser = page.waitForEvent('filechooser');
  await chooseButton(page).tap();
  await (await chooser).setFiles({ name: project.name, mimeType: '', buffer: Buffer.from(project.bytes) });
  await songShown(page);
});
afterAll(() => here.context.close());
afterEach(async () => {
  expect(here.faults).toEqual([]);
  expect(here.strangers).toEqual([]);
  // Nothing is wider than the screen.
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
});

const touched = chromiumOnly('touch cannot be made there');

/** Opens the sheet under the map whose button begins so. */
async function sheet(name: RegExp): Promise<void> {
  const button = page.getByRole('group', { name: 'Shown under the map' }).getByRole('button', { name });
  if ((await button.getAttribute('aria-expanded')) !== 'true') await button.tap();
}

async function tapBar(number: number): Promise<Locator> {
  const cell = bar(page, number);
  await cell.tap({ position: { x: 4, y: 24 } });
  return cell;
}

touched('a bar is corrected by touch, and that is undone', async () => {
  await tapBar(20);
  await sheet(/^Bar 20/);
  await page.locator('bw-bar-inspector').getByRole('button', { name: '3 beats', exact: true }).tap();
  await done(page, 'bar 20: 3 beats');
  expect(await bar(page, 20).getAttribute('aria-label')).toMatch(/^bar 20, 3 beats, irregular.*locked$/);
  await page.getByRole('button', { name: 'Undo bar 20: 3 beats' }).tap();
  await page.getByRole('button', { name: 'Redo bar 20: 3 beats' }).waitFor();
  expect(await bar(page, 20).getAttribute('aria-label')).toMatch(/^bar 20, 4 beats/);
  await page.getByRole('button', { name: /^Bar 20/, expanded: true }).tap();
});

touched('a section is looped, played again and left by touch', async () => {
  await page.getByRole('tab', { name: 'Play' }).tap();
  await audible(page);
  await page.getByLabel('Loop a section').selectOption({ index: 2 });
  await page.getByRole('button', { name: 'Again' }).tap();
  await page.locator('bw-play-stage .dot[data-on]').waitFor();
  await page.getByRole('button', { name: 'Go on' }).tap();
  await page.locator('bw-notice-bar p', { hasText: /^Next: / }).waitFor();
  await page.getByRole('button', { name: 'Stop', exact: true }).tap();
  await page.getByRole('button', { name: 'No loop' }).tap();
  await page.getByRole('tab', { name: 'Map' }).tap();
  await songShown(page);
});

touched('a section is marked and named by touch', async () => {
  await tapBar(24);
  const map = await mapShown(page);
  const { letter, name } = map.sections[sectionOfBar(map, 24)!]!;
  await sheet(new RegExp(`^${letter} ${name}$`));
  const strip = page.locator('bw-section-tools');
  await strip.getByRole('button', { name: 'Split here' }).tap();
  await done(page, 'a section starts at bar 24');
  await strip.getByRole('button', { name: 'Rename' }).tap();
  await strip.getByLabel('Name of the section').fill('Bridge');
  await strip.getByRole('button', { name: 'OK' }).tap();
  await done(page, /^Undo .* is called Bridge$/);
  const marked = await mapShown(page);
  const bridge = marked.sections[sectionOfBar(marked, 24)!]!;
  expect(bridge).toMatchObject({ name: 'Bridge', origin: 'user', start: barsOf(map)[24]!.start });
  await page.getByRole('button', { name: /^. Bridge/, expanded: true }).tap();
});

touched('the song is played and stopped by touch', async () => {
  await audible(page);
  await tapBar(12);
  await page.getByRole('button', { name: 'Play', exact: true }).tap();
  await page.locator('bw-map-view [data-bar="12"][data-sounding]').waitFor();
  expect(await page.getByRole('group', { name: 'Position' }).innerText()).toMatch(/^bar 1[23]\./);
  await page.getByRole('button', { name: 'Stop', exact: true }).tap();
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor();
  expect(await page.locator('bw-map-view [data-sounding]').count()).toBe(0);
});

touched('a doubt is settled, chords are typed, passes heard and the chart is handed over by touch', async () => {
  const stop = page.getByRole('button', { name: 'Stop', exact: true });
  const sheets = page.getByRole('group', { name: 'Shown under the map' }).getByRole('button');
  if ((await sheets.first().getAttribute('aria-expanded')) !== 'true') await sheets.first().tap();
  const doubts = page.locator('bw-doubts');
  await audible(page);
  await doubts
    .getByRole('button', { name: /^Hear / })
    .first()
    .tap();
  await stop.first().waitFor();
  await doubts.getByRole('group', { name: 'What is right?' }).getByRole('button').first().tap();
  await done(page, /^Undo .* as shown$/);
  await page.locator('bw-transport').getByRole('button', { name: 'Stop', exact: true }).tap();

  await tapBar(9);
  await sheet(/^Bar 9/);
  await page.locator('bw-bar-inspector').getByRole('button', { name: 'Type…' }).tap();
  await page.getByLabel('Chords of bar 9', { exact: true }).fill('Em7 A7');
  await page.locator('bw-prompt-field').getByRole('button', { name: 'OK' }).tap();
  await done(page, /^Undo .*bar 9/);
  expect(await bar(page, 9).getAttribute('aria-label')).toMatch(/Em7.*A7/);

  await page.getByRole('tab', { name: 'Passes' }).tap();
  const grid = page.getByRole('grid', { name: /^Passes of/ });
  await grid.getByRole('gridcell', { name: /^pass 2, bar 1,/ }).tap();
  await page.getByRole('button', { name: /^Hear it, then pass 1/ }).tap();
  await page.locator('bw-transport').getByRole('button', { name: 'Stop', exact: true }).tap();

  await page.getByRole('tab', { name: 'Play' }).tap();
  await page.getByRole('button', { name: 'Slower' }).tap();
  await said(page, '95 % of its speed.').waitFor();

  await page.getByRole('tab', { name: 'Chart' }).tap();
  await page.locator('bw-chart-workspace svg').first().waitFor();
  const { bytes } = await downloaded(page, () => page.getByRole('button', { name: 'PDF', exact: true }).tap());
  expect(Buffer.from(bytes.subarray(0, 5)).toString()).toBe('%PDF-');
  await page.getByRole('tab', { name: 'Map' }).tap();
  await songShown(page);
});

touched('a phone on its side shows bars, doubts and the transport at once', async () => {
  await page.setViewportSize({ width: 844, height: 390 });
  const cell = await tapBar(20);
  const play = page.locator('bw-transport').getByRole('button', { name: 'Play', exact: true });
  const doubts = page.getByRole('heading', { name: /^Doubts/ });
  /** Whether bar and doubts lie on the screen above the transport, and that on it: it is laid out anew. */
  const fits = async (): Promise<boolean> => {
    const [foot, ...parts] = await Promise.all([play, cell, doubts].map((part) => part.boundingBox()));
    const above = parts.every((box) => box && box.y > 0 && box.y + box.height <= foot!.y);
    return above && foot!.y + foot!.height <= 390;
  };
  await expect.poll(fits).toBe(true);
  await page.setViewportSize({ width: 390, height: 844 });
  await page.waitForFunction(() => document.documentElement.scrollWidth === 390);
});

touched('everything is large enough for a finger: 24 pixels, and 44 for the transport and the workspaces', async () => {
  expect(await page.evaluate(() => matchMedia('(pointer: coarse)').matches)).toBe(true);
  const small: string[] = [];
  const measure = async (state: string): Promise<void> => {
    for (const [least, within] of [[24], [44, 'bw-transport'], [44, 'bw-workspace-tabs']] as const) {
      const found = await smallTargets(page, least, within);
      expect(found.seen, `${state} ${within}`).toBeGreaterThan(within === undefined ? 12 : 3);
      small.push(...found.small.map((each) => `${state}, ${least}: ${each}`));
    }
  };
  await tapBar(12);
  await page.getByRole('button', { name: 'Levels' }).tap();
  await page.getByRole('slider', { name: 'Click level' }).waitFor();
  const sheets = page.getByRole('group', { name: 'Shown under the map' }).getByRole('button');
  for (const [i, state] of ['doubts', 'bar', 'section'].entries()) {
    if ((await sheets.nth(i).getAttribute('aria-expanded')) !== 'true') await sheets.nth(i).tap();
    await measure(state);
  }
  await page.getByRole('tab', { name: 'Passes' }).tap();
  await page.getByRole('grid', { name: /^Passes of/ }).waitFor();
  await measure('passes');
  await page.getByRole('tab', { name: 'Play' }).tap();
  for (const panel of ['Practice', 'Strum', 'Shapes', 'Timing']) {
    const tab = page.getByRole('tab', { name: panel });
    await tab.tap();
    await tab.and(page.locator('[aria-selected=true]')).waitFor();
    await measure(panel);
  }
  await page.getByRole('tab', { name: 'Chart' }).tap();
  await page.locator('bw-chart-workspace svg').first().waitFor();
  await measure('chart');
  await page.getByRole('button', { name: 'Menu' }).tap();
  await page.getByRole('menuitem').first().waitFor();
  await measure('menu');
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Export' }).tap();
  await page.getByRole('button', { name: /^Chart \(PDF\)/ }).waitFor();
  await measure('files');
  await page.keyboard.press('Escape');
  await toAllSongs(page);
  small.push(...(await smallTargets(page, 24)).small);
  expect(small).toEqual([]);
});
