import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { chordsInBar } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { visit, type Visit } from '../support/browser.js';
import { lanternProject } from '../support/seed.js';
import { bar, chooseButton, chooseFile, clickBeat, done, mapShown, said, saved, songShown } from '../support/user.js';
import { undoAll } from '../support/user.js';

let here: Visit;
let page: Page;
let first: SongMap;

beforeAll(async () => {
  here = await visit();
  ({ page } = here);
  await chooseFile(page, chooseButton(page), lanternProject());
  await songShown(page);
  first = await mapShown(page);
});
afterAll(() => here.context.close());
afterEach(async () => {
  await undoAll(page);
  expect(await mapShown(page)).toEqual(first);
  expect([here.faults, here.strangers]).toEqual([[], []]);
});

/** "G@1 C@3" of a bar by its number: the song has no pickup. */
async function typed(number: number): Promise<string> {
  const own = chordsInBar(await mapShown(page), number - 1);
  return own.map(({ chord, beat }) => `${chord.harte}@${beat + 1}`).join(' ');
}

async function type(number: number, text: string): Promise<void> {
  await clickBeat(page, number, 1);
  await page.keyboard.press('c');
  await page.getByLabel(`Chords of bar ${number}`, { exact: true }).fill(text);
  await page.keyboard.press('Enter');
  await done(page, /^Undo chords of bar/);
}

describe('chords', () => {
  it('are typed bar after bar by keys alone, spread over the beats', async () => {
    await clickBeat(page, 1, 1);
    await page.keyboard.press('c');
    for (const line of ['Am F/A G7', 'C', 'G . . D | Em']) {
      await page.keyboard.press('Control+A');
      await page.keyboard.type(line);
      await page.keyboard.press('Shift+Enter');
    }
    await page.getByLabel('Chords of bar 5', { exact: true }).waitFor();
    await page.keyboard.press('Escape');
    expect(await Promise.all([1, 2, 3, 4].map(typed))).toEqual([
      'A:min@1 F:maj/3@3 G:7@4',
      'C@1',
      'G@1 D@4',
      'E:min@1',
    ]);
    // The keys are the map's again.
    await page.keyboard.press('PageUp');
    await page.keyboard.press('c');
    await page.getByLabel('Chords of bar 4', { exact: true }).waitFor();
    await page.keyboard.press('Escape');
  });

  it('that cannot be read are said to be so, kept as typed and marked, and named when JAMS leaves them out', async () => {
    await clickBeat(page, 2, 1);
    await page.keyboard.press('c');
    await page.keyboard.type('H7 Am');
    await page.getByText('“H7” cannot be read as a chord; kept as typed and marked.').waitFor();
    await page.keyboard.press('Enter');
    await done(page, 'chords of bar 2: H7 Am');
    expect(await bar(page, 2).getAttribute('aria-label')).toContain('“H7”, which cannot be read as a chord');
    const mark = bar(page, 2).locator('.chord.unread');
    expect(await mark.innerText()).toBe('H7');
    expect(await mark.evaluate((element) => getComputedStyle(element).textDecorationStyle)).toBe('wavy');
    const { bytes } = await saved(page, 'Export as JAMS');
    await said(page, 'cannot be written in JAMS and was left out: H7').waitFor();
    expect(String(Buffer.from(bytes))).not.toContain('H7');
  });

  it('are dragged to another beat, also of another bar, once the cursor is on them', async () => {
    await type(2, 'G . C . | . . . D');
    await clickBeat(page, 2, 3);
    const chord = bar(page, 2).locator('.chord.movable');
    const { x, y, height } = (await chord.boundingBox())!;
    const goal = (await bar(page, 3).boundingBox())!;
    await page.mouse.move(x + 6, y + height / 2);
    await page.mouse.down();
    await page.mouse.move(goal.x + goal.width * 0.3, goal.y + goal.height / 2, { steps: 5 });
    await bar(page, 3).locator('.beat-mark.goal').waitFor();
    await page.mouse.up();
    await done(page, 'C from bar 2 beat 3 to bar 3 beat 2');
    expect([await typed(2), await typed(3)]).toEqual(['G@1', 'C@2 D@4']);
    await page.keyboard.press('Control+ArrowLeft');
    await done(page, 'C from bar 3 beat 2 to bar 3 beat 1');
    expect(await typed(3)).toBe('C@1 D@4');
  });

  it('of bars are copied and pasted by keys and by mouse', async () => {
    await type(1, 'G | C D');
    await clickBeat(page, 1, 1);
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Control+c');
    await said(page, 'Copied: the chords of bars 1 to 2.').waitFor();
    await clickBeat(page, 7, 1);
    await page.keyboard.press('Control+v');
    await done(page, 'chords pasted into bars 7 to 8');
    expect([await typed(7), await typed(8)]).toEqual(['G@1', 'C@1 D@3']);
    await clickBeat(page, 10, 1);
    await page.locator('bw-bar-inspector [data-command="chords-paste"]').click();
    await done(page, 'chords pasted into bars 10 to 11');
    expect([await typed(10), await typed(11)]).toEqual(['G@1', 'C@1 D@3']);
  });

  it('are replaced everywhere, and moved by semitones, by mouse and by key', async () => {
    await type(1, 'C G | C | Am');
    await clickBeat(page, 2, 1);
    await page.locator('bw-bar-inspector [data-command="chords-replace-song"]').click();
    await page.getByLabel('C in the whole song becomes').fill('Cmaj7');
    await page.keyboard.press('Enter');
    await done(page, 'C is Cmaj7 everywhere');
    expect([await typed(1), await typed(2)]).toEqual(['C:maj7@1 G@3', 'C:maj7@1']);
    await page.locator('bw-bar-inspector [data-command="chords-song-up"]').click();
    await done(page, 'chords and key: 1 semitone up');
    expect([await typed(1), await typed(3)]).toEqual(['Db:maj7@1 Ab@3', 'Bb:min@1']);
    await clickBeat(page, 2, 1);
    await page.keyboard.press('Control+ArrowDown');
    await done(page, /^Undo chords of .*: 1 semitone down$/);
    expect([await typed(1), await typed(3)]).toEqual(['C:maj7@1 G@3', 'A:min@1']);
  });
});

describe('chord shapes', () => {
  const panel = () => page.locator('bw-shapes-panel');
  const open = async (): Promise<void> => {
    await type(1, 'D | Bm | G | A7');
    await page.keyboard.press('Shift+P');
    await panel().getByRole('heading', { name: 'Shapes' }).waitFor();
  };
  afterEach(async () => {
    await page.keyboard.press('Escape');
    await page.getByRole('tab', { name: 'Map' }).click();
  });

  it('are shown for the instrument, others can be chosen by keys, and the choice is kept', async () => {
    await open();
    await panel().getByRole('button', { name: 'D: 2220, other shapes' }).focus();
    await page.keyboard.press('Enter');
    const choices = panel().getByRole('group', { name: 'Shapes of D, easiest first' }).getByRole('button');
    expect(await choices.count()).toBeGreaterThan(2);
    const name = (await choices.nth(1).getAttribute('aria-label'))!;
    await choices.nth(1).focus();
    await page.keyboard.press('Enter');
    await done(page, `shape of ${name}`);
    await panel()
      .getByRole('button', { name: `${name}, chosen; other shapes` })
      .waitFor();
    await panel().getByLabel('Instrument').selectOption('guitar');
    await panel().getByRole('button', { name: 'D: xx0232, other shapes' }).waitFor();
    await panel().getByLabel('Instrument').selectOption('own');
    await panel().getByLabel('Strings').fill('D G H D');
    await panel().getByText('"H" is no note').waitFor();
    await panel().getByLabel('Strings').fill('D G B D');
    await page.keyboard.press('Enter');
    await panel().getByRole('button', { name: 'G: 0000, other shapes' }).waitFor();
    await panel().getByLabel('Instrument').selectOption('ukulele');
    await panel()
      .getByRole('button', { name: `${name}, chosen; other shapes` })
      .waitFor();
  });

  it('lie mirrored for a left-handed player', async () => {
    await open();
    const dot = () => panel().locator('button[aria-label^="A7: 0100"] circle[r="3.7"]').getAttribute('cx');
    const right = Number(await dot());
    await panel().getByLabel('Left-handed').check();
    expect(Number(await dot())).toBeGreaterThan(right);
    await panel().getByLabel('Left-handed').uncheck();
  });

  it('of an easier key are taken with one press, shown on stage and map, and taken back', async () => {
    await open();
    await panel().getByRole('button', { name: 'Find the easiest key' }).click();
    const keys = panel().getByRole('listitem');
    expect(await keys.count()).toBe(12);
    expect(await keys.first().innerText()).toContain('As recorded, no capo');
    const easier = keys.filter({ hasText: 'C, Am, F, G7' });
    expect(await easier.innerText()).toMatch(/easier; no barre/);
    await easier.getByRole('button', { name: 'Capo 2' }).click();
    await done(page, 'capo on fret 2');
    await panel().getByRole('button', { name: 'C: 0003, other shapes' }).waitFor();
    expect(await page.locator('bw-play-stage .current .chord').first().innerText()).toContain('C');
    await page.getByText('capo 2, shapes').first().waitFor();
    await page.getByRole('tab', { name: 'Map' }).click();
    expect(await bar(page, 2).getAttribute('aria-label')).toContain('Am');
    expect(await typed(2)).toBe('B:min@1');
    await page.keyboard.press('Shift+K');
    await done(page, 'chords shown as they sound');
    expect(await bar(page, 2).getAttribute('aria-label')).toContain('Bm');
  });
});

describe('a strum pattern', () => {
  const editor = () => page.locator('bw-strum-editor');
  const places = () => editor().getByRole('group', { name: 'Strokes of a bar, beat by beat' }).getByRole('button');
  const strumOf = async () => (await mapShown(page)).sections[0]!.strum;
  afterEach(async () => page.getByRole('tab', { name: 'Map' }).click());

  it('is made by keys alone, shown on map and stage, and taken back', async () => {
    await clickBeat(page, 1, 1);
    await page.keyboard.press('p');
    await places().first().focus();
    await page.keyboard.type('d-duDxdu');
    await editor()
      .getByRole('button', { name: /^Set for / })
      .focus();
    await page.keyboard.press('Enter');
    await expect.poll(strumOf).toEqual({ parts: 2, strokes: 'd-duDxdu' });
    await page.locator('bw-stage-strum .stroke').first().waitFor();
    expect(await page.locator('bw-stage-strum .stroke').count()).toBe(7);
    await page.getByRole('tab', { name: 'Map' }).click();
    await page.getByRole('rowgroup', { name: /strum d-du Dxdu|strum d- du Dx du/ }).waitFor();
  });

  it('is made by mouse alone, in triplets and from one to start from', async () => {
    await clickBeat(page, 1, 1);
    await page.getByRole('tab', { name: 'Play' }).click();
    await page.getByRole('tab', { name: 'Strum' }).click();
    await editor().getByRole('button', { name: '3 strokes a beat' }).click();
    expect(await places().count()).toBe(12);
    await places().nth(0).click();
    await places().nth(5).click();
    await places().nth(5).click();
    await editor()
      .getByRole('button', { name: /^Set for / })
      .click();
    await expect.poll(strumOf).toMatchObject({ parts: 3 });
    expect((await strumOf())!.strokes).toMatch(/^[^-]----[^-]-{6}$/);
    await editor()
      .getByRole('button', { name: /^Start from / })
      .first()
      .click();
    await editor()
      .getByRole('button', { name: /^Set for / })
      .click();
    await expect.poll(async () => (await strumOf())!.strokes).not.toMatch(/^[^-]----/);
  });
});
