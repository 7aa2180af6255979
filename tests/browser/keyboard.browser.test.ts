import { afterAll, beforeAll, expect, it } from 'vitest';
import { barsOf, sectionOfBar } from '../../src/model/map-queries.js';
import type { Page } from 'playwright-core';
import { visit, type Visit } from '../support/browser.js';
import { focusOf } from '../support/focus.js';
import { sampleProject } from '../support/seed.js';
import { audible, bar, chooseButton, done, downloaded, mapShown, said, songShown } from '../support/user.js';

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit();
  ({ page } = here);
});
afterAll(async () => {
  expect(here.faults).toEqual([]);
  await here.context.close();
});

/** Presses a key until something of this name or in this part of the page has the focus, which has to be seen at each stop. */
async function walk(key: string, to: string | RegExp): Promise<void> {
  const seen: string[] = [];
  for (let i = 0; i < 60; i += 1) {
    await page.keyboard.press(key);
    const { name, host, faults } = await focusOf(page);
    expect(faults, `${host} “${name}” after ${seen.join(', ')}`).toEqual([]);
    if (typeof to === 'string' ? host === to : to.test(name)) return;
    seen.push(`${host} ${name}`.slice(0, 40));
  }
  expect.fail(`${key} never comes to ${to}: ${seen.join(', ')}`);
}

/** Waits until this has the focus, and it is seen. */
const hasFocus = (what: object): Promise<void> =>
  expect.poll(() => focusOf(page)).toMatchObject({ ...what, faults: [] });

const press = (...keys: readonly string[]): Promise<void> =>
  keys.reduce((before, key) => before.then(() => page.keyboard.press(key)), Promise.resolve());
const practice = (): Promise<{ speed: number; countIn: number; playing: boolean }> =>
  page.evaluate(() => {
    const { session } = document.querySelector('bw-app')!;
    return {
      speed: session.practice.value.speed,
      countIn: session.settings.value.countInBars,
      playing: session.playing.value,
    };
  });

it('the whole job is done by keys alone, and what has the focus is always seen', async () => {
  // From here on, for a key that opens the chooser is quicker than asking to be told of it.
  const chooser = page.waitForEvent('filechooser');
  await chooseButton(page).waitFor();
  await walk('Tab', /^Kites over Brennick/);
  await walk('Shift+Tab', /^Choose a recording/);
  // An analysis of the bundled song itself is the first song's test; here it comes as it was left.
  const { name, bytes } = await sampleProject('kites-over-brennick.ogg', { audio: true });
  await press('Enter');
  await (await chooser).setFiles({ name, mimeType: '', buffer: Buffer.from(bytes) });
  await songShown(page);
  await audible(page);

  // A doubt is opened, heard, and decided; the next one is heard then, and has the focus.
  const playing = page.locator('bw-transport').getByRole('button', { name: 'Stop', exact: true });
  await walk('F6', 'bw-doubts');
  await press('Enter');
  await walk('Tab', /^Hear /);
  await press('Enter');
  await playing.waitFor();
  await press('Enter');
  await audible(page);
  await walk('Tab', /as shown|is right/);
  await press('Enter');
  await playing.waitFor();
  await done(page, /^Undo ./);
  expect((await mapShown(page)).locks.length).toBeGreaterThan(0);
  await hasFocus({ host: 'bw-doubts' });

  // A bar is corrected.
  await walk('Shift+F6', 'bw-map-view');
  await press('Space');
  await audible(page);
  await press('Escape', 'Home', 'PageDown', 'PageDown', 'PageDown');
  await hasFocus({ name: expect.stringMatching(/^bar 3,/) });
  await press('3');
  await done(page, 'bar 3: 3 beats');
  expect(await bar(page, 3).getAttribute('aria-label')).toMatch(/^bar 3, 3 beats, irregular.*locked$/);
  await hasFocus({ name: expect.stringMatching(/^bar 3,/) });

  // Bars are selected and named; the focus comes back to the map.
  await press('PageDown', 'Shift+PageDown', 'Shift+PageDown', 'n');
  await page.getByLabel(/^Name for bars 4 to 5$/).waitFor();
  await hasFocus({ host: 'bw-prompt-field' });
  await page.keyboard.type('Refrain');
  await press('Enter');
  await hasFocus({ host: 'bw-map-view' });
  await done(page, 'bars 4 to 5: Refrain');
  const named = await mapShown(page);
  expect(named.sections[sectionOfBar(named, 4)!]).toMatchObject({ name: 'Refrain', start: barsOf(named)[4]!.start });

  // Passes are compared.
  await press('ArrowDown', 'w');
  await page.getByRole('grid', { name: /^Passes of/ }).waitFor();
  await walk('F6', 'bw-pass-grid');
  await press('ArrowRight', 'ArrowDown');
  await hasFocus({ name: expect.stringMatching(/^pass 2/i) });
  await walk('Tab', /^Hear it, then pass 1/);
  await press('Enter');
  await playing.waitFor();
  await walk('F6', 'bw-transport');
  await press('Enter');
  await audible(page);

  // Practised slower, with a bar counted in.
  await press('w');
  await walk('F6', /^Slower$/);
  await press('Enter', 'Enter');
  await said(page, '90 % of its speed.').waitFor();
  await walk('Tab', /^1 bar$/);
  await press('Enter');
  await walk('Shift+F6', 'bw-workspace-tabs');
  await press('F1');
  await hasFocus({ host: 'bw-shortcut-sheet' });
  await press('Escape');
  await hasFocus({ host: 'bw-workspace-tabs' });
  await walk('F6', 'bw-transport');
  await press('Enter');
  await page.locator('bw-play-stage .count:not([hidden])').waitFor();
  expect(await practice()).toMatchObject({ playing: true, speed: 0.9 });
  await press('Enter');
  await audible(page);

  // The chart is handed over.
  await press('w');
  await page.locator('bw-chart-workspace svg').first().waitFor();
  await walk('F6', 'bw-chart-workspace');
  await walk('Tab', /^PDF$/);
  const { bytes: pdf } = await downloaded(page, () => press('Enter'));
  expect(Buffer.from(pdf.subarray(0, 5)).toString()).toBe('%PDF-');
});
