import type { Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { barsOf } from '../../src/model/map-queries.js';
import type { Section, SongMap } from '../../src/model/song-map.js';
import { visit, type Visit } from '../support/browser.js';
import { lanternProject, sampleProject } from '../support/seed.js';
import { audible, bar, chooseButton, chooseFile, clickBeat, done, mapShown, said } from '../support/user.js';
import { songShown, undoAll } from '../support/user.js';

/** What an edit that decides a doubt is called after: its bars, or the whole song, which has no bar in front. */
const PLACE = '(bars? \\d+( (to|and) \\d+)?|the whole song)';

let here: Visit;
let page: Page;
let first: SongMap;

async function open(project: Parameters<typeof chooseFile>[2]): Promise<void> {
  here = await visit();
  ({ page } = here);
  await chooseFile(page, chooseButton(page), project);
  await songShown(page);
  first = await mapShown(page);
}

function endClean(): void {
  expect(here.faults).toEqual([]);
  expect(here.strangers).toEqual([]);
}

/** Sections with the number of the bar they start at; the song begins with a pickup, bar 0. */
async function sections(): Promise<(Pick<Section, 'name' | 'origin'> & { bar: number })[]> {
  const map = await mapShown(page);
  const bars = barsOf(map);
  return map.sections.map(({ name, origin, start }) => ({
    name,
    origin,
    bar: bars.findIndex((each) => Math.abs(each.start - start) < 1e-3),
  }));
}
const sectionAt = async (number: number) => (await sections()).filter(({ bar }) => bar <= number).at(-1)!;
const startsOf = async (): Promise<number[]> => (await sections()).map(({ bar }) => bar);
const strip = (): Locator => page.locator('bw-section-tools');

describe('sections', () => {
  beforeAll(async () => open(await sampleProject('kites-over-brennick.ogg')));
  afterAll(() => here.context.close());
  afterEach(async () => {
    await undoAll(page);
    expect(await mapShown(page)).toEqual(first);
    endClean();
  });

  it('are named for bars that a drag on the map selects', async () => {
    await bar(page, 22).scrollIntoViewIfNeeded();
    const [from, to] = [(await bar(page, 22).boundingBox())!, (await bar(page, 25).boundingBox())!];
    await page.mouse.move(from.x + 8, from.y + 20);
    await page.mouse.down();
    await page.mouse.move(to.x + 8, to.y + 20, { steps: 4 });
    await page.mouse.up();
    await strip().getByRole('group', { name: 'Name bars 22–25' }).getByRole('button', { name: 'Tag' }).click();
    await done(page, 'bars 22 to 25: Tag');
    expect(await sectionAt(22)).toEqual({ name: 'Tag', origin: 'user', bar: 22 });
    expect((await sectionAt(26)).bar).toBe(26);
    const row = page.getByRole('rowgroup', { name: /Tag/ });
    expect(await row.getByRole('gridcell').count()).toBe(4);
    expect(await row.getAttribute('aria-label')).not.toContain('suggested');
  });

  it('are named for bars that a drag on the recording selects, in words of one’s own', async () => {
    await clickBeat(page, 2, 1);
    const at = (number: number) =>
      page.evaluate(
        (time) => {
          const { from, span } = document.querySelector('bw-app')!.session.view.window.value;
          return (time - from) / span;
        },
        barsOf(first)[number]!.start + 0.6,
      );
    const stage = (await page.getByRole('slider', { name: 'Recording, close-up' }).boundingBox())!;
    const y = stage.y + stage.height / 2;
    await page.keyboard.down('Shift');
    await page.mouse.move(stage.x + stage.width * (await at(2)), y);
    await page.mouse.down();
    await page.mouse.move(stage.x + stage.width * (await at(4)), y, { steps: 4 });
    await page.mouse.up();
    await page.keyboard.up('Shift');
    await strip().getByLabel('Another name for bars 2–4').fill('Vamp');
    await page.keyboard.press('Enter');
    await done(page, 'bars 2 to 4: Vamp');
    expect(await sectionAt(4)).toEqual({ name: 'Vamp', origin: 'user', bar: 2 });
  });

  it('are named by keys alone', async () => {
    await clickBeat(page, 30, 1);
    for (let i = 0; i < 3; i += 1) await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('n');
    await page.getByLabel('Name for bars 30 to 32').fill('Solo');
    await page.keyboard.press('Enter');
    await done(page, 'bars 30 to 32: Solo');
    expect(await sectionAt(32)).toEqual({ name: 'Solo', origin: 'user', bar: 30 });
  });

  it('that are suggested are accepted, renamed and refused', async () => {
    await clickBeat(page, 20, 1);
    const { name, bar: start } = await sectionAt(20);
    await strip().getByRole('button', { name: 'Accept', exact: true }).click();
    await done(page, `${name} accepted`);
    expect(await sectionAt(20)).toEqual({ name, origin: 'user', bar: start });
    await strip().getByRole('button', { name: 'Rename' }).click();
    await page.keyboard.type('Refrain');
    await page.keyboard.press('Enter');
    await done(page, `${name} is called Refrain`);
    expect((await sectionAt(20)).name).toBe('Refrain');

    const next = (await sections()).find(({ bar, origin }) => bar > 20 && origin === 'suggested')!;
    await clickBeat(page, next.bar, 1);
    await page.keyboard.press('Shift+V');
    await done(page, /^Undo .*refused/);
    expect(await startsOf()).not.toContain(next.bar);
  });

  it('are all accepted at once', async () => {
    await clickBeat(page, 20, 1);
    await strip().getByRole('button', { name: 'Accept all' }).click();
    await done(page, 'all sections accepted');
    expect((await sections()).filter(({ origin }) => origin === 'suggested')).toEqual([]);
  });

  it('are split and merged', async () => {
    const before = await startsOf();
    await clickBeat(page, 20, 1);
    await strip().getByRole('button', { name: 'Split here' }).click();
    await done(page, 'a section starts at bar 20');
    expect(await startsOf()).toEqual([...before, 20].sort((a, b) => a - b));
    await strip().getByRole('button', { name: 'With the previous section' }).click();
    await done(page, /^Undo .* joined$/);
    expect(await startsOf()).toEqual(before);
    await clickBeat(page, 24, 1);
    await page.keyboard.press('k');
    await done(page, 'a section starts at bar 24');
    await page.keyboard.press('j');
    await done(page, /^Undo .* joined$/);
    expect(await startsOf()).toEqual(before);
  });

  it('start a bar earlier or later', async () => {
    const next = (await sections()).find(({ bar }) => bar > 20)!;
    await clickBeat(page, next.bar, 1);
    await strip().getByRole('button', { name: 'One bar later' }).click();
    await done(page, `${next.name} starts at bar ${next.bar + 1}`);
    expect(await startsOf()).toContain(next.bar + 1);
    expect(await startsOf()).not.toContain(next.bar);
  });

  it('keep to their bar lines when bars before them are corrected', async () => {
    await clickBeat(page, 24, 1);
    await bar(page, 27).click({ modifiers: ['Shift'] });
    await strip()
      .getByRole('group', { name: /^Name bars 24/ })
      .getByRole('button', { name: 'Tag', exact: true })
      .click();
    await done(page, 'bars 24 to 27: Tag');
    await clickBeat(page, 22, 1);
    await page.keyboard.press('e');
    await done(page, /^Undo .*earlier/);
    const moved = await mapShown(page);
    const tag = moved.sections.find(({ name }) => name === 'Tag')!;
    expect(barsOf(moved).some(({ start }) => Math.abs(start - tag.start) < 1e-3)).toBe(true);
    expect(tag.start).toBeCloseTo(barsOf(first)[23]!.beats[3]!, 3);
    expect(await page.getByRole('rowgroup', { name: /Tag/ }).getByRole('gridcell').count()).toBe(4);
  });
});

describe('doubts', () => {
  beforeAll(async () => {
    await open(lanternProject());
    await audible(page);
  });
  afterAll(() => here.context.close());
  afterEach(async () => {
    await page.evaluate(() => document.querySelector('bw-app')!.session.stop());
    await undoAll(page);
    expect(await mapShown(page)).toEqual(first);
    endClean();
  });

  const left = async (): Promise<number> => {
    const text = await page.locator('bw-doubts [role="status"]').innerText();
    return text === '' ? 0 : Number(/^(\d+) left$/.exec(text)![1]);
  };
  const playing = (): Promise<void> => page.locator('bw-map-view [data-sounding]').first().waitFor();
  const asked = (): Locator => page.locator('bw-doubts').getByRole('group', { name: 'What is right?' });

  it('are gone through by keys until none is left: heard, decided one way or the other', async () => {
    const count = first.doubts.length;
    expect(count).toBeGreaterThan(2);
    expect(await left()).toBe(count);
    await clickBeat(page, 1, 1);
    await page.keyboard.press('d');
    await playing();
    await said(page, `(${count} doubts left)`).waitFor();
    expect(await asked().count()).toBe(1);
    await page.keyboard.press('y');
    await done(page, new RegExp(`^Undo ${PLACE} as shown$`));
    let now = await left();
    expect(now).toBeLessThan(count);
    // The next doubt follows by itself; the other reading is taken where there is one.
    for (let turn = 0; now > 0 && turn < 20; turn += 1) {
      await asked().waitFor();
      const other = (await asked().getByRole('button').count()) > 1 && turn === 0;
      const locks = (await mapShown(page)).locks.length;
      await page.keyboard.press(other ? 'x' : 'y');
      await page.waitForFunction(
        (before) => document.querySelector('bw-app')!.session.song.value!.map.locks.length > before,
        locks,
      );
      await done(page, new RegExp(`^Undo ${PLACE}( as shown|: the other reading)$`));
      now = await left();
    }
    expect(now).toBe(0);
    await page.getByText('No doubts left.').waitFor();
  });

  it('are settled by the number of beats, and left as they are by going on', async () => {
    const count = await left();
    await clickBeat(page, 1, 1);
    await page.keyboard.press('d');
    await playing();
    const question = await asked().locator('xpath=..').innerText();
    await page.keyboard.press('d');
    await expect.poll(async () => asked().locator('xpath=..').innerText()).not.toBe(question);
    expect(await left()).toBe(count);
    await page.keyboard.press('Shift+D');
    await expect.poll(async () => asked().locator('xpath=..').innerText()).toBe(question);
    await page.keyboard.press('4');
    await done(page, /^Undo bar \d+: 4 beats$/);
    expect(await left()).toBeLessThan(count);
  });
});
