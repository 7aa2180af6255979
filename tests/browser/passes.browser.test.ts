import type { Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import { soundingInBar } from '../../src/model/pass-chords.js';
import type { ChordDifference, PassTable } from '../../src/model/pass-table.js';
import type { SongMap } from '../../src/model/song-map.js';
import { visit, type Visit } from '../support/browser.js';
import { sampleProject } from '../support/seed.js';
import { audible, chooseButton, chooseFile, done, mapShown, said, songShown, undoAll } from '../support/user.js';

let here: Visit;
let page: Page;
let first: SongMap;
/** A section in which one pass has another chord than the rest, and the difference. */
let table: PassTable;
let difference: ChordDifference;

beforeAll(async () => {
  here = await visit();
  ({ page } = here);
  await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg', { audio: true }));
  await songShown(page);
  await audible(page);
  first = await mapShown(page);
  const tables = await tablesShown();
  table = tables.find(({ differences }) => differences.some(({ kind }) => kind === 'chord'))!;
  difference = table.differences.find((each) => each.kind === 'chord')!;
});
afterAll(() => here.context.close());
afterEach(async () => {
  await page.evaluate(() => document.querySelector('bw-app')!.session.stop());
  await undoAll(page);
  expect(await mapShown(page)).toEqual(first);
  expect(here.faults).toEqual([]);
  expect(here.strangers).toEqual([]);
});

const tablesShown = (): Promise<readonly PassTable[]> =>
  page.evaluate(() => document.querySelector('bw-app')!.session.passes.value);
const sentences = (): Locator => page.locator('bw-pass-differences ol > li');
const cell = (pass: number, bar: number): Locator =>
  page.getByRole('gridcell', { name: new RegExp(`^pass ${pass + 1}, bar ${bar},`) });
const barNumber = (pass: number): number => {
  const bar = table.columns[difference.column]!.bars[pass]!;
  return bar - table.passes[pass]!.first + 1;
};
/** The pass whose chord is taken for right. */
const model = (): number =>
  table.columns[difference.column]!.bars.findIndex((bar, pass) => bar !== null && pass !== difference.pass);
const chordsOf = (map: SongMap, pass: number): string =>
  soundingInBar(map, table.columns[difference.column]!.bars[pass]!)
    .map(({ harte, beat }) => `${harte}@${beat}`)
    .join(' ');
const playing = (bar: number): Promise<void> =>
  page.locator(`bw-pass-grid [data-bar="${bar}"][data-sounding]`).waitFor();

it('passes are compared, heard, made the same and let be, by mouse', async () => {
  await page.getByRole('tab', { name: 'Passes' }).click();
  await page.getByRole('group', { name: 'Section' }).getByRole('button', { name: table.name }).first().click();
  await page.getByRole('grid', { name: `Passes of ${table.name}` }).waitFor();
  const count = table.differences.length;
  await page.locator('bw-pass-differences [role="status"]', { hasText: `${count} difference` }).waitFor();

  const own = cell(difference.pass, barNumber(difference.pass));
  expect(await own.getAttribute('aria-label')).toContain('differs: ');
  await own.click();
  await playing(difference.bar);
  await page.getByRole('button', { name: `Hear it, then pass ${model() + 1}` }).click();
  await said(page, `Pass ${difference.pass + 1}, then pass ${model() + 1}.`).waitFor();
  await playing(table.columns[difference.column]!.bars[model()]!);
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor();

  const sentence = sentences().and(page.locator('.now'));
  await sentence.getByRole('button', { name: /^Make the same/ }).click();
  const choices = sentence.getByRole('group', { name: 'Which is right?' }).getByRole('button');
  expect(await choices.count()).toBeGreaterThan(1);
  await choices.filter({ hasText: new RegExp(`as in pass(es)? .*${model() + 1}`) }).click();
  await done(page, `${table.name} bar ${barNumber(model())}: chords as in pass ${model() + 1}`);
  const same = await mapShown(page);
  expect(chordsOf(same, difference.pass)).toBe(chordsOf(first, model()));
  expect(await sentences().count()).toBeLessThan(count);
  expect(await own.getAttribute('aria-label')).not.toContain('differs: ');
  await undoAll(page);
  expect(await own.getAttribute('aria-label')).toContain('differs: ');

  await sentence.getByRole('button', { name: /^Ignore/ }).click();
  await done(page, /^Undo ignored: /);
  expect(await own.getAttribute('aria-label')).toContain('ignored: ');
  expect((await mapShown(page)).ignored).toEqual([{ kind: 'chord', time: difference.time }]);
  await page.getByText('1 ignored', { exact: true }).click();
  await page.getByRole('button', { name: /^Bring back/ }).click();
  await done(page, /^Undo no longer ignored: /);
  expect(await own.getAttribute('aria-label')).toContain('differs: ');
});

it('the same by keys alone', async () => {
  await page.getByRole('tab', { name: /^(Map|Passes)$/, selected: true }).focus();
  while ((await page.getByRole('tab', { name: 'Passes' }).getAttribute('aria-selected')) !== 'true')
    await page.keyboard.press('ArrowRight');
  await page.getByRole('group', { name: 'Section' }).getByRole('button', { name: table.name }).first().focus();
  await page.keyboard.press('Enter');
  await page.keyboard.press('F6');
  await page.keyboard.press('Home');
  const focused = (): Promise<string> =>
    page.evaluate(() => {
      let element = document.activeElement;
      while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
      return element?.getAttribute('aria-label') ?? '';
    });
  for (let pass = 0; pass < difference.pass; pass += 1) await page.keyboard.press('ArrowDown');
  for (let press = 0; press < 20 && !(await focused()).includes(`, bar ${barNumber(difference.pass)},`); press += 1)
    await page.keyboard.press('ArrowRight');
  expect(await focused()).toMatch(new RegExp(`^pass ${difference.pass + 1}, .*differs: `));
  await page.keyboard.press('Enter');
  await playing(difference.bar);
  await page.keyboard.press('b');
  await said(page, /^Pass \d+, then pass \d+\./).waitFor();

  // This pass's chords are right.
  await page.keyboard.press('g');
  await done(page, `${table.name} bar ${barNumber(difference.pass)}: chords as in pass ${difference.pass + 1}`);
  expect(chordsOf(await mapShown(page), model())).toBe(chordsOf(first, difference.pass));
  expect(await focused()).not.toContain('differs: ');
  await page.keyboard.press('Control+z');
  await page.getByRole('button', { name: 'Redo', exact: false }).and(page.locator(':enabled')).first().waitFor();
  await page.keyboard.press('q');
  await done(page, /^Undo ignored: /);
  expect(await focused()).toContain('ignored: ');
});

it('the form adds up, and a line of it leads to its section', async () => {
  await page.getByRole('tab', { name: 'Passes' }).click();
  const rows = page.locator('bw-form-glance tbody tr.section');
  expect(await rows.count()).toBe(first.sections.length);
  const bars = await rows.locator('td:nth-child(3)').allInnerTexts();
  const total = await page.locator('bw-form-glance tfoot td').first().innerText();
  expect(bars.reduce((sum, text) => sum + Number(text), 0)).toBe(Number(total));
  await page.getByText(/^As a chart: \d+ bars? written/).waitFor();
  await rows.nth(3).locator('.name-button').click();
  expect(await rows.nth(3).getAttribute('aria-current')).toBe('true');
  expect(await page.evaluate(() => document.querySelector('bw-app')!.session.view.cursor.value)).toBe(
    first.sections[3]!.start,
  );
});

it('the whole way from suggested sections to a corrected form, by keys alone', async () => {
  const before = first.sections.length;
  await page.getByRole('tab', { name: 'Map' }).click();
  // The map has the focus, then no pointer is used.
  await page.getByRole('grid', { name: 'Bar map' }).locator('[tabindex="0"]').focus();
  await page.keyboard.press('Home');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('v');
  await done(page, /^Undo .* accepted$/);
  await page.keyboard.press('n');
  await page.keyboard.press('Control+A');
  await page.keyboard.type('Refrain');
  await page.keyboard.press('Enter');
  await done(page, /^Undo .*Refrain$/);
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('j');
  await expect.poll(async () => (await mapShown(page)).sections.length).toBe(before - 1);
  await page.keyboard.press('PageDown');
  await page.keyboard.press('PageDown');
  await page.keyboard.press('k');
  await expect.poll(async () => (await mapShown(page)).sections.length).toBe(before);
  await page.keyboard.press('w');
  await page.locator('bw-form-glance tbody tr.section', { hasText: 'Refrain' }).first().waitFor();
  const rows = page.locator('bw-form-glance tbody tr.section');
  expect(await rows.count()).toBe(before);
  const bars = await rows.locator('td:nth-child(3)').allInnerTexts();
  const total = await page.locator('bw-form-glance tfoot td').first().innerText();
  expect(bars.reduce((sum, text) => sum + Number(text), 0)).toBe(Number(total));
});

it('the whole way from suggested sections to a corrected form, by mouse alone', async () => {
  const before = first.sections.length;
  const strip = page.locator('bw-section-tools');
  await page.getByRole('tab', { name: 'Map' }).click();
  const at = first.sections[1]!;
  await page.locator(`bw-map-view [data-section="${at.id}"]`).click();
  await strip.getByRole('button', { name: 'Accept', exact: true }).click();
  await done(page, /^Undo .* accepted$/);
  await page.locator(`bw-map-view [data-section="${first.sections[2]!.id}"]`).click();
  await strip.getByRole('button', { name: 'Refuse' }).click();
  await expect.poll(async () => (await mapShown(page)).sections.length).toBe(before - 1);
  await page.getByRole('tab', { name: 'Passes' }).click();
  const tables = await tablesShown();
  const differing = tables.find(({ differences }) => differences.some(({ kind }) => kind === 'chord'))!;
  await page.getByRole('group', { name: 'Section' }).getByRole('button', { name: differing.name }).first().click();
  const sentence = sentences()
    .filter({ has: page.getByRole('button', { name: /^Make the same/ }) })
    .first();
  await sentence.getByRole('button', { name: /^Make the same/ }).click();
  await page.getByRole('group', { name: 'Which is right?' }).getByRole('button').first().click();
  await done(page, /^Undo .* as in pass/);
  expect(await page.locator('bw-form-glance tbody tr.section').count()).toBe(before - 1);
});
