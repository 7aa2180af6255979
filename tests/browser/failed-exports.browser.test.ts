import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type {} from '../../src/app/shell/app-shell.js';
import { EXPORT_KINDS } from '../../src/export/export-kinds.js';
import type { Session } from '../../src/app/kit/session.js';
import { visit, type Visit } from '../support/browser.js';
import { lanternProject } from '../support/seed.js';
import { chooseButton, chooseFile, said, songShown } from '../support/user.js';

/** Ways in which a file goes out, each as the page begins it. */
const WAYS: readonly (readonly [name: string, begin: (session: Session) => unknown])[] = [
  ['the chart as PDF', (session) => session.saveChart('chart', 'pdf')],
  ['the poster as PDF', (session) => session.saveChart('poster', 'pdf')],
  ['the chart as PNG', (session) => session.saveChart('chart', 'png')],
  ['the chart as SVG', (session) => session.saveChart('chart', 'svg')],
  ['a project file', (session) => session.saveProject(true)],
  ['a backup', (session) => session.backUp()],
  [
    'a practice track',
    (session) =>
      session.saveTracks({
        speeds: [1],
        countIn: { bars: 0 },
        click: true,
        strum: false,
        announce: false,
        format: 'wav',
      }),
  ],
  [
    'a clip',
    (session) => session.saveClip({ shape: '1:1', background: 'plain', format: 'webm', sound: false, practice: false }),
  ],
];

describe('a file that cannot be handed over', () => {
  let here: Visit;

  beforeAll(async () => {
    here = await visit();
    await chooseFile(here.page, chooseButton(here.page), lanternProject());
    await songShown(here.page);
    await here.page.evaluate(() => {
      URL.createObjectURL = () => {
        throw new Error('no room for a file');
      };
      window.print = () => {
        throw new Error('no printer');
      };
    });
  });
  afterAll(async () => {
    // What is said was caught, not left to the browser.
    expect([here.strangers, here.faults]).toEqual([[], []]);
    await here.context.close();
  });

  async function failsAloud(begin: string, words: string): Promise<void> {
    const { page } = here;
    await page.evaluate(() => document.querySelector('bw-app')!.session.dismissNotice());
    // The page's policy lets no text be evaluated; what the test sends is run by the browser itself.
    await page.evaluate(`(${begin})(document.querySelector('bw-app').session)`);
    await page.getByRole('alert').filter({ hasText: words }).waitFor();
    await said(page, words).waitFor();
  }

  it.each(WAYS)('is said to be: %s', (_, begin) => failsAloud(String(begin), 'no room for a file'));
  it.each(EXPORT_KINDS.map(({ id }) => id))('is said to be: the export %s', (id) =>
    failsAloud(`(session) => session.exportFile(${JSON.stringify(id)})`, 'no room for a file'),
  );
  it('is said to be: the chart on paper', () => failsAloud('(session) => session.printChart()', 'no printer'));
});

it('says so when what makes a file cannot be loaded', async () => {
  const { page, context, strangers } = await visit();
  await chooseFile(page, chooseButton(page), lanternProject());
  await songShown(page);
  await context.route(/\/assets\/(make-pages|outlines|make-export)-[^/]*\.js$/, (route) => route.abort());
  for (const begin of [
    (session: Session) => session.saveChart('chart', 'pdf'),
    (session: Session) => session.saveChart('chart', 'svg'),
    (session: Session) => session.exportFile('midi'),
  ]) {
    await page.evaluate(() => document.querySelector('bw-app')!.session.dismissNotice());
    await page.evaluate(`(${String(begin)})(document.querySelector('bw-app').session)`);
    await page.getByRole('alert').filter({ hasText: 'A part of Barwright could not be loaded' }).waitFor();
  }
  expect(strangers).toEqual([]);
  await context.close();
});
