import axe, { type AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { barsOf, isIrregular } from '../../src/model/map-queries.js';
import { visit, type Visit } from '../support/browser.js';
import { sampleProject } from '../support/seed.js';
import { audible, bar, chooseButton, chooseFile, mapShown, songShown } from '../support/user.js';

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

/** What axe-core finds against WCAG 2.0 to 2.2, levels A and AA, and its best practices, in light and dark. */
async function complaints(): Promise<readonly string[]> {
  const found: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    if (!(await page.evaluate(() => 'axe' in globalThis))) await page.evaluate(axe.source);
    // Left out: a bar's visible number and chords are its content, not its label, and signs such as a half have no words.
    const { violations, passes } = await page.evaluate(() =>
      (globalThis as unknown as { axe: { run(options: object): Promise<AxeResults> } }).axe.run({
        rules: { 'label-content-name-mismatch': { enabled: false } },
      }),
    );
    expect(passes.length).toBeGreaterThan(10);
    for (const { id, nodes } of violations) {
      for (const { target, failureSummary = '' } of nodes) {
        found.push(`${colorScheme} ${id} ${target.flat().join(' ')}: ${failureSummary.split('\n')[1]?.trim()}`);
      }
    }
  }
  await page.emulateMedia({ colorScheme: 'light' });
  return found;
}

const SIZES = [
  ['desk', { width: 1280, height: 800 }],
  ['phone', { width: 390, height: 844 }],
  // 1280 pixels at 200 % zoom.
  ['zoomed', { width: 640, height: 400 }],
] as const;

it('finds nothing on the first page', async () => {
  await chooseButton(page).waitFor();
  expect(await complaints()).toEqual([]);
});

it('reads every bar by name in the accessibility tree, with beats and irregularity', async () => {
  await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg', { audio: true }));
  await songShown(page);
  await audible(page);
  const map = await mapShown(page);
  const devtools = await here.context.newCDPSession(page);
  const { nodes } = await devtools.send('Accessibility.getFullAXTree');
  const names = nodes.filter(({ role }) => role?.value === 'gridcell').map(({ name }) => String(name?.value ?? ''));
  const bars = names.filter((name) => /^(bar \d+|pickup)/i.test(name));
  expect(bars).toHaveLength(barsOf(map).length);
  expect(bars.filter((name) => name.includes('irregular'))).toHaveLength(
    barsOf(map).filter((one, i) => !one.pickup && isIrregular(map, i)).length,
  );
});

describe.each(SIZES)('(%s) finds nothing', (_, size) => {
  beforeAll(() => page.setViewportSize(size));
  it('in any workspace', async () => {
    const tabs = page.locator('bw-workspace-tabs [role=tab]');
    const count = await tabs.count();
    expect(count).toBeGreaterThanOrEqual(3);
    for (let i = 0; i < count; i++) {
      await tabs.nth(i).click();
      await tabs.nth(i).and(page.locator('[aria-selected=true]')).waitFor();
      expect(await complaints()).toEqual([]);
    }
  });
});

describe('at work on a bar', () => {
  beforeAll(async () => {
    await page.setViewportSize({ width: 1280, height: 800 });
    await page.evaluate(() => {
      document.querySelector('bw-app')!.session.view.workspace.value = 'map';
    });
  });
  const STATES: readonly (readonly [string, () => Promise<unknown>])[] = [
    ['a bar is selected', () => bar(page, 5).click()],
    ['a section is being named', () => page.keyboard.press('n')],
  ];
  it.each(STATES)('finds nothing when %s', async (_, act) => {
    await act();
    expect(await complaints()).toEqual([]);
    await page.keyboard.press('Escape');
  });
});
