import type { Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { visit, type Visit } from '../support/browser.js';
import { sampleProject } from '../support/seed.js';
import { bar, chooseButton, chooseFile, clickBeat, done, mapShown, openKept, said } from '../support/user.js';
import { songShown, stored, undoAll } from '../support/user.js';

// Bars 20 to 30 of the song are plain bars of four; number and place are the same, for it begins with a pickup (bar 0).
let here: Visit;
let page: Page;
let first: SongMap;

beforeAll(async () => {
  here = await visit();
  ({ page } = here);
  await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg'));
  await songShown(page);
  first = await mapShown(page);
});
afterAll(() => here.context.close());
afterEach(async () => {
  await undoAll(page);
  expect(await mapShown(page)).toEqual(first);
  expect(here.faults).toEqual([]);
  expect(here.strangers).toEqual([]);
});

const inspector = (): Locator => page.locator('bw-bar-inspector');
const starts = async (): Promise<number[]> => barsOf(await mapShown(page)).map(({ start }) => start);
const words = (number: number): Promise<string | null> => bar(page, number).getAttribute('aria-label');
/** Widths of two bars as drawn at one moment. */
const widths = (a: number, b: number): Promise<number[]> =>
  page
    .getByRole('grid', { name: 'Bar map' })
    .evaluate(
      (grid, places) =>
        places.map((place) => grid.querySelector(`[data-bar="${place}"]`)!.getBoundingClientRect().width),
      [a, b],
    );
const timeOf = (map: SongMap, number: number, beat: number): number => barsOf(map)[number]!.beats[beat - 1]!;
/** Times of all beats, bar by bar. */
const beats = (map: SongMap): number[] => barsOf(map).flatMap((each) => each.beats);

describe('the length of a bar', () => {
  it('is set by its digit: drawn to scale, said in words, locked; everything undone and done again', async () => {
    await clickBeat(page, 20, 1);
    await page.keyboard.press('3');
    await done(page, 'bar 20: 3 beats');
    expect(await words(20)).toMatch(/^bar 20, 3 beats, irregular, .*locked$/);
    const [three = 0, four = 0] = await widths(20, 18);
    expect(three).toBeCloseTo((four * 3) / 4, 0);
    await said(page, /^Bar 20: 3 beats\. \d+ bars? changed\.$/).waitFor();
    const edited = await mapShown(page);
    expect(timeOf(edited, 21, 1)).toBeCloseTo(timeOf(first, 20, 4), 3);

    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: 'Redo bar 20: 3 beats' }).waitFor();
    expect(await mapShown(page)).toEqual(first);
    await page.keyboard.press('Control+Shift+z');
    await done(page, 'bar 20: 3 beats');
    expect(await mapShown(page)).toEqual(edited);
  });

  it('is set by a button, and by two digits', async () => {
    await clickBeat(page, 24, 2);
    await inspector().getByRole('button', { name: '5 beats', exact: true }).click();
    await done(page, 'bar 24: 5 beats');
    expect(await words(24)).toMatch(/^bar 24, 5 beats, irregular/);
    await clickBeat(page, 27, 1);
    await page.keyboard.press('1');
    await page.keyboard.press('0');
    await done(page, 'bar 27: 10 beats');
    expect(await words(27)).toMatch(/^bar 27, 10 beats, irregular/);
  });

  it('of the bar before is set by shift and the digit', async () => {
    await clickBeat(page, 22, 1);
    await page.keyboard.press('Shift+Digit2');
    await done(page, 'bar 21: 2 beats');
    expect(await words(21)).toMatch(/^bar 21, 2 beats/);
  });
});

describe('bar lines', () => {
  it('are set and taken away on a beat', async () => {
    await clickBeat(page, 20, 3);
    await page.keyboard.press('a');
    await done(page, 'a bar starts at bar 20 beat 3');
    const third = timeOf(first, 20, 3);
    expect((await starts()).some((start) => Math.abs(start - third) < 1e-3)).toBe(true);
    await page.keyboard.press('a');
    await done(page, /^Undo no bar starts at bar \d+ beat 1$/);
    expect((await starts()).some((start) => Math.abs(start - third) < 1e-3)).toBe(false);
  });

  it('come one beat earlier up to the next bar of another length, and later again', async () => {
    await clickBeat(page, 30, 1);
    await page.keyboard.press('e');
    await done(page, /^Undo .*earlier/);
    const shifted = await starts();
    const old = barsOf(first).map(({ start }) => start);
    expect(shifted.slice(0, 29)).toEqual(old.slice(0, 29));
    // The line beside the first that moved follows its own attack, a few milliseconds off.
    expect(Math.abs(shifted[29]! - old[29]!)).toBeLessThan(0.01);
    for (let number = 30; number <= 65; number++) expect(shifted[number]).toBeCloseTo(timeOf(first, number - 1, 4), 2);
    // The bar of six before the last chorus takes up the difference: from its end on nothing moves.
    expect(shifted.slice(-14)).toEqual(old.slice(-14));
    await page.keyboard.press('Shift+E');
    await done(page, /^Undo .*later/);
    const back = await starts();
    // The beats between the lines that were moved were found anew, so a line may come back to its attack a little off.
    for (let number = 0; number <= 65; number++) expect(Math.abs(back[number]! - old[number]!)).toBeLessThan(0.03);
  });
});

describe('the tempo', () => {
  it('is halved and doubled', async () => {
    const facts = page.locator('bw-song-header .facts');
    expect(await facts.innerText()).toMatch(/9\d.*10\d bpm/);
    await clickBeat(page, 20, 1);
    await page.keyboard.press('h');
    await done(page, 'half tempo');
    expect(await facts.innerText()).toMatch(/4\d.*5\d bpm/);
    await page.keyboard.press('Shift+H');
    await done(page, 'double tempo');
    expect(await facts.innerText()).toMatch(/9\d.*10\d bpm/);
    expect(beats(await mapShown(page)).length).toBe(beats(first).length);
  });
});

describe('beats', () => {
  it('are put in, taken out and moved', async () => {
    await clickBeat(page, 22, 2);
    await page.keyboard.press('i');
    await done(page, 'a beat more at bar 22 beat 2');
    const middle = (timeOf(first, 22, 2) + timeOf(first, 22, 3)) / 2;
    expect(beats(await mapShown(page)).some((time) => Math.abs(time - middle) < 0.02)).toBe(true);
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: /^Redo a beat more/ }).waitFor();

    await clickBeat(page, 26, 3);
    await page.keyboard.press('Delete');
    await done(page, 'no beat at bar 26 beat 3');
    const third = timeOf(first, 26, 3);
    expect(beats(await mapShown(page)).some((time) => Math.abs(time - third) < 0.05)).toBe(false);
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: /^Redo no beat/ }).waitFor();

    await clickBeat(page, 24, 1);
    await page.keyboard.press('.');
    await done(page, 'beat at bar 24 beat 1 10 ms later');
    expect(timeOf(await mapShown(page), 24, 1)).toBeCloseTo(timeOf(first, 24, 1) + 0.01, 4);
  });

  it('are none in a stretch of free time', async () => {
    await clickBeat(page, 30, 1);
    await bar(page, 31).click({ modifiers: ['Shift'] });
    await page.keyboard.press('f');
    await done(page, 'free time: bars 30 to 31');
    await page.getByRole('gridcell', { name: /^free time, / }).waitFor();
    const [from, to] = [timeOf(first, 30, 1), timeOf(first, 32, 1)];
    expect(beats(await mapShown(page)).filter((time) => time > from + 0.05 && time < to - 0.05)).toEqual([]);
  });
});

describe('a time signature', () => {
  it('is given with its grouping, and complained about while it makes no sense', async () => {
    await clickBeat(page, 20, 1);
    await page.keyboard.press('Shift+M');
    const line = page.getByLabel('Time signature of bar 20');
    await line.fill('5/4 (3+3)');
    await page.getByText('must add up to 5').waitFor();
    await line.fill('5/4 (3+2)');
    await page.keyboard.press('Enter');
    await done(page, 'bar 20: 5/4 (3+2)');
    expect(barsOf(await mapShown(page))[20]!.meter).toMatchObject({ count: 5, unit: 4, grouping: [3, 2] });
    expect(await inspector().getByLabel('Time signature').inputValue()).toBe('5/4 (3+2)');
  });

  it('holds from a bar on', async () => {
    await clickBeat(page, 70, 1);
    await inspector().getByLabel('Time signature').fill('2/4');
    await inspector().getByRole('button', { name: 'From here on', exact: true }).click();
    await done(page, /^Undo bars 70 to 7\d: 2\/4$/);
    expect(await words(70)).toMatch(/^bar 70, 2 beats, time signature 2\/4/);
    expect(await words(71)).toMatch(/^bar 71, 2 beats(?!, irregular)/);
  });
});

describe('a lock', () => {
  it('is a pin under its bar, is lifted by its button and by key', async () => {
    const pin = bar(page, 20).getByTitle('Locked: bar 20 has 3 beats');
    await clickBeat(page, 20, 1);
    await page.keyboard.press('3');
    await done(page, 'bar 20: 3 beats');
    expect(await pin.count()).toBe(1);
    await inspector().getByRole('button', { name: 'Lift the lock: bar 20 has 3 beats' }).click();
    await done(page, 'lifted: bar 20 has 3 beats');
    expect(await pin.count()).toBe(0);
    expect(await words(20)).toMatch(/^bar 20, 4 beats/);
    await clickBeat(page, 20, 1);
    await page.keyboard.press('3');
    await done(page, 'bar 20: 3 beats');
    await page.keyboard.press('u');
    await done(page, 'lifted: bar 20 has 3 beats');
    expect((await mapShown(page)).locks).toEqual([]);
  });

  it('in the way of an edit is named, and lifted with the edit in one action', async () => {
    await clickBeat(page, 20, 1);
    await page.keyboard.press('r');
    await done(page, 'bar 20 accepted');
    const before = await mapShown(page);
    await clickBeat(page, 20, 1);
    await page.keyboard.press('a');
    await said(page, /not done, 1 lock is in the way: bar 20 has 4 beats\.$/).waitFor();
    expect(await mapShown(page)).toEqual(before);
    await page.getByRole('button', { name: 'Lift this lock and apply' }).click();
    await done(page, 'no bar starts at bar 20 beat 1');
    expect((await starts()).some((start) => Math.abs(start - timeOf(first, 20, 1)) < 1e-3)).toBe(false);
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: /^Redo no bar starts/ }).waitFor();
    expect(await mapShown(page)).toEqual(before);
  });
});

describe('a reload', () => {
  it('brings back the map, what can be undone, and what can be done again', async () => {
    for (const [number, beatCount] of [
      [20, 3],
      [25, 2],
      [28, 5],
    ] as const) {
      await clickBeat(page, number, 1);
      await page.keyboard.press(String(beatCount));
      await done(page, `bar ${number}: ${beatCount} beats`);
    }
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: 'Redo bar 28: 5 beats' }).waitFor();
    await stored(page);
    const before = await mapShown(page);
    await page.reload();
    await openKept(page, first.title);
    expect(await mapShown(page)).toEqual(before);
    expect(await words(25)).toMatch(/^bar 25, 2 beats, irregular/);
    await clickBeat(page, 28, 1);
    await page.keyboard.press('Control+Shift+z');
    await done(page, 'bar 28: 5 beats');
    await page.keyboard.press('Control+z');
    await page.getByRole('button', { name: 'Redo bar 28: 5 beats' }).waitFor();
    await page.keyboard.press('Control+z');
    await done(page, 'bar 20: 3 beats');
  });
});
