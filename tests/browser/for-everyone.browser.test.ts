import type axe from 'axe-core';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { barsOf, isIrregular } from '../../src/model/map-queries.js';
import { bringAxe } from '../support/axe.js';
import { chromiumOnly, inFirefox, visit, type Visit } from '../support/browser.js';
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

const LONG = process.env['BARWRIGHT_LONG'] === '1';
/** Firefox is only ever light: it cannot be told over WebDriver BiDi. */
const SCHEMES: readonly ('light' | 'dark')[] = inFirefox() ? ['light'] : ['light', 'dark'];

/** A bar's visible number and chords are its content, not its label; signs such as a half have no words. */
const RULES = { 'label-content-name-mismatch': { enabled: true, selector: ':not([role=gridcell])' } };

/**
 * What axe-core finds against WCAG 2.0 to 2.2, levels A and AA, and its best practices. All rules in light; in dark
 * contrast alone, which is all that differs there.
 */
async function complaints(schemes = SCHEMES): Promise<readonly string[]> {
  const found: string[] = [];
  for (const colorScheme of schemes) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    await bringAxe(page);
    await page.evaluate((rules) => {
      const own = Object.entries(rules).map(([id, rule]) => ({ id, ...rule }));
      (globalThis as unknown as { axe: typeof axe }).axe.configure({ rules: own });
    }, RULES);
    const { violations, passes } = await page.evaluate(
      (options) => (globalThis as unknown as { axe: { run(options: object): Promise<AxeResults> } }).axe.run(options),
      {
        resultTypes: ['violations'],
        ...(colorScheme === 'dark' && !LONG
          ? { runOnly: { type: 'rule', values: ['color-contrast'] } }
          : { rules: { 'label-content-name-mismatch': { enabled: true } } }),
      },
    );
    expect(passes.length).toBeGreaterThan(colorScheme === 'dark' && !LONG ? 0 : 10);
    for (const { id, nodes } of violations) {
      for (const { target, failureSummary = '' } of nodes) {
        found.push(`${colorScheme} ${id} ${target.flat().join(' ')}: ${failureSummary.split('\n')[1]?.trim()}`);
      }
    }
  }
  await page.emulateMedia({ colorScheme: 'light' });
  return found;
}

it('finds nothing on the first page', async () => {
  await chooseButton(page).waitFor();
  expect(await complaints()).toEqual([]);
});

it('opens a song', async () => {
  await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg', { audio: true }));
  await songShown(page);
  await audible(page);
});

chromiumOnly('the accessibility tree is read by a DevTools command')(
  'reads every bar by name in the accessibility tree, with beats and irregularity',
  async () => {
    const map = await mapShown(page);
    const devtools = await here.context.newCDPSession(page);
    const { nodes } = await devtools.send('Accessibility.getFullAXTree');
    const names = nodes.filter(({ role }) => role?.value === 'gridcell').map(({ name }) => String(name?.value ?? ''));
    const bars = names.filter((name) => /^(bar \d+|pickup)/i.test(name));
    expect(bars).toHaveLength(barsOf(map).length);
    expect(bars.filter((name) => name.includes('irregular'))).toHaveLength(
      barsOf(map).filter((one, i) => !one.pickup && isIrregular(map, i)).length,
    );
  },
);

const show = (workspace: 'map' | 'passes' | 'play' | 'chart'): Promise<void> =>
  page.evaluate((name) => {
    document.querySelector('bw-app')!.session.view.workspace.value = name;
  }, workspace);

const playPanel = async (name: string): Promise<void> => {
  await show('play');
  await page.locator('bw-play-workspace').getByRole('tab', { name }).click();
};

const STATES: readonly (readonly [string, () => Promise<unknown>])[] = [
  ['when a bar is selected', () => bar(page, 5).click()],
  ['while a section is being named', () => page.keyboard.press('n')],
  [
    'in the menu',
    async () => {
      await page.getByRole('button', { name: 'Menu' }).click();
      await page.getByRole('menuitem').first().waitFor();
    },
  ],
  [
    'in the panel of files',
    async () => {
      await page.getByRole('button', { name: 'Export' }).click();
      await page.getByRole('dialog', { name: 'Export and import' }).getByRole('button').first().waitFor();
    },
  ],
  [
    'in the table of keys',
    async () => {
      await page.keyboard.press('F1');
      await page.getByRole('dialog', { name: 'Keys' }).waitFor();
    },
  ],
  [
    'when something went wrong',
    () =>
      page.evaluate(() => {
        const { session } = document.querySelector('bw-app')!;
        session.say({
          kind: 'error',
          text: 'It cannot be read.',
          action: { label: 'Try again', run: () => Promise.resolve() },
        });
      }),
  ],
  [
    'among passes',
    async () => {
      await page.evaluate(() => document.querySelector('bw-app')!.session.dismissNotice());
      await show('passes');
      await page.locator('bw-passes-workspace').waitFor();
    },
  ],
  ['in Practice', () => playPanel('Practice')],
  ['in Strum', () => playPanel('Strum')],
  ['in Shapes', () => playPanel('Shapes')],
  ['in Timing', () => playPanel('Timing')],
  [
    'in the chart and its options',
    async () => {
      await show('chart');
      await page.locator('bw-chart-workspace svg').first().waitFor();
    },
  ],
];

describe('finds nothing', () => {
  beforeAll(() => show('map'));
  it.each(STATES)('%s', async (_, act) => {
    await act();
    expect(await complaints()).toEqual([]);
    await page.keyboard.press('Escape');
  });
});

// A phone, and 1280 pixels at 200 % zoom.
describe.each([
  ['on a phone', { width: 390, height: 844 }, true],
  ['zoomed', { width: 640, height: 400 }, LONG],
] as const)('%s finds nothing', (_, size, now) => {
  beforeAll(() => page.setViewportSize(size));
  it.runIf(now).each(['map', 'passes', 'play', 'chart'] as const)('in the workspace %s', async (workspace) => {
    await show(workspace);
    await page.locator(`bw-${workspace}-workspace`).waitFor();
    expect(await complaints(LONG ? SCHEMES : ['light'])).toEqual([]);
  });
});
