import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { chromium, type Page } from 'playwright-core';
import { QUIET_BROWSER, serveBuiltPage } from '../support/built-page.js';
import {
  chooseButton,
  dropFile,
  fileAt,
  mapShown,
  openKept,
  saved,
  songShown,
  stored,
  audible,
} from '../support/user.js';

/**
 * `trial [--pictures DIR] FILE…`: the built page as a new user would try it, one fresh profile a recording: drop it,
 * decide the first doubt, set a bar's length, mark a section, reload, open it again, export JAMS. Takes pictures at
 * 1280 and 390 pixels, light and dark. Resolves to a text with the time of each step, for a person to read.
 */
export async function trial(words: readonly string[], place: (path: string) => string): Promise<string> {
  const { values, positionals } = parseArgs({
    args: [...words],
    options: { pictures: { type: 'string', default: 'trial-pictures' } },
    allowPositionals: true,
  });
  if (positionals.length === 0) throw new TypeError('trial needs a recording');
  const folder = place(values.pictures);
  mkdirSync(folder, { recursive: true });
  const { site, executablePath, close } = await serveBuiltPage();
  const browser = await chromium.launch({ executablePath, args: QUIET_BROWSER });
  try {
    let text = '';
    for (const path of positionals) {
      const context = await browser.newContext({ viewport: WIDE, acceptDownloads: true });
      const page = await context.newPage();
      text += await tryOne(page, site, place(path), folder);
      await context.close();
    }
    return text;
  } finally {
    await browser.close();
    await close();
  }
}

const WIDE = { width: 1280, height: 800 };
const PHONE = { width: 390, height: 844 };

async function tryOne(page: Page, site: string, path: string, folder: string): Promise<string> {
  const file = fileAt(path);
  const stem = file.name.replace(/\.\w+$/, '');
  const lines: string[] = [];
  const faults = watch(page, site);
  let last = performance.now();
  const step = (what: string): void => {
    const now = performance.now();
    lines.push(`  ${((now - last) / 1000).toFixed(1).padStart(6)} s  ${what}`);
    last = performance.now();
  };
  const picture = async (name: string): Promise<void> => {
    await page.screenshot({ path: join(folder, `${stem}-${name}.png`) });
    last = performance.now();
  };
  const both = async (name: string): Promise<void> => {
    for (const scheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme: scheme });
      await picture(`${name}-${scheme}`);
    }
    await page.emulateMedia({ colorScheme: 'light' });
  };

  await page.goto(site);
  await chooseButton(page).waitFor();
  step('the page is there');
  await both('1-start');
  await dropFile(page, file);
  await page.locator('bw-loading-view path.outline[d^="M"]').waitFor();
  step('the outline begins to show');
  await page.getByRole('button', { name: 'Listen meanwhile' }).waitFor();
  step('decoded: it can be listened to');
  await both('2-loading');
  await songShown(page);
  step('the map is there');
  await both('3-map');
  const found = await mapShown(page);
  lines.push(`            ${await page.locator('bw-notice-bar p').innerText()}`);
  await audible(page);

  const doubts = found.doubts.length;
  if (doubts > 0) {
    await page.getByRole('grid', { name: 'Bar map' }).getByRole('gridcell').first().click();
    await page.keyboard.press('d');
    await page.locator('bw-map-view [data-sounding]').waitFor();
    step('the first doubt is heard');
    await picture('4-doubt-heard');
    await page.keyboard.press('y');
    await page.getByRole('button', { name: /^Undo .* as shown$/ }).waitFor();
    await stored(page);
    step('it is decided and solved');
    await page.keyboard.press(' ');
  }
  const bars = page.getByRole('gridcell', { name: /^bar \d/ });
  await bars.nth(9).click();
  await page.keyboard.press('3');
  await page.getByRole('button', { name: /^Undo bar \d+: 3 beats$/ }).waitFor();
  await stored(page);
  step('a bar is given 3 beats, solved and stored');
  await both('5-corrected');
  await bars.nth(16).click();
  await bars.nth(23).click({ modifiers: ['Shift'] });
  await picture('6-selected');
  await page.keyboard.press('n');
  await picture('7-naming');
  await page.keyboard.type('Bridge');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: /^Undo bars .*: Bridge$/ }).waitFor();
  await stored(page);
  step('a section is named');
  await both('8-marked');
  await page.getByRole('button', { name: 'Menu' }).click();
  await picture('9-menu');
  await page.keyboard.press('Escape');
  await page.keyboard.press('F1');
  await picture('10-keys');
  await page.keyboard.press('Escape');
  const before = JSON.stringify(await mapShown(page));

  last = performance.now();
  await page.reload();
  await chooseButton(page).waitFor();
  await page.locator('bw-song-library li').first().waitFor();
  step('reloaded: the song is in the list');
  await picture('11-library');
  await openKept(page, found.title);
  step('opened again');
  const same = JSON.stringify(await mapShown(page)) === before;
  lines.push(`            the map is ${same ? 'the same' : 'ANOTHER ONE'}`);
  await audible(page);
  step('its sound is ready');
  const jams = await saved(page, 'Export as JAMS (music annotation)');
  step(`JAMS exported: ${jams.name}, ${jams.bytes.length} bytes`);
  writeFileSync(join(folder, jams.name), jams.bytes);

  await page.setViewportSize(PHONE);
  await page.waitForFunction(() => document.documentElement.clientWidth === 390);
  await both('12-phone');
  for (const [name, button] of [
    ['doubts', /^Doubts/],
    ['bar', /^(Bar \d|Pickup)/],
    ['section', /.*/],
  ] as const) {
    const sheets = page.getByRole('group', { name: 'Shown under the map' }).getByRole('button', { name: button });
    await sheets.last().click();
    await both(`13-phone-${name}`);
  }
  await page.getByRole('button', { name: 'All songs' }).click();
  await chooseButton(page).waitFor();
  await picture('14-phone-start');
  const lost = faults.map((fault) => `  FAULT      ${fault}`);
  return `${file.name}\n${[...lines, ...lost].join('\n')}\n`;
}

/** Errors of the page and requests to anywhere else, as they come. */
function watch(page: Page, site: string): string[] {
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  page.on('request', (request) => {
    if (!/^(blob|data):/.test(request.url()) && !request.url().startsWith(site)) faults.push(`asked ${request.url()}`);
  });
  return faults;
}
