import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { chromiumOnly, visit, type Visit } from '../support/browser.js';
import { lanternProject } from '../support/seed.js';
import { audible, dropFile, said, songShown } from '../support/user.js';

/** That no page asks for a microphone unbidden is asserted of every visit (tests/support/browser.ts); here it is asked to. */

declare global {
  interface Window {
    /** Every microphone that was given. */
    given: MediaStreamTrack[];
  }
}

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit({ microphone: true });
  ({ page } = here);
  await page.evaluate(() => {
    window.given = [];
    const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    navigator.mediaDevices.getUserMedia = async (wanted) => {
      const stream = await ask(wanted);
      window.given.push(...stream.getTracks());
      return stream;
    };
  });
  await dropFile(page, lanternProject());
  await songShown(page);
  await audible(page);
});
afterAll(() => here.context.close());

const states = (): Promise<string[]> => page.evaluate(() => window.given.map(({ readyState }) => readyState));
const check = (): Promise<void> => page.getByRole('button', { name: 'Check my playing' }).click();

it('is not asked for until its button is pressed, and a refusal is said', async () => {
  await page.getByRole('tab', { name: 'Play' }).click();
  await page.getByRole('tab', { name: 'Timing' }).click();
  await page.getByRole('button', { name: 'Check my taps' }).click();
  await page.getByRole('button', { name: 'Stop and show' }).click();
  expect(here.listening).toEqual([]);
  await check();
  await said(page, 'The microphone was not allowed.').waitFor();
  expect(here.listening).toEqual(['getUserMedia']);
  expect(await states()).toEqual([]);
});

chromiumOnly('a microphone cannot be allowed there')(
  'is let go when the check ends, by a button or with the song',
  async () => {
    await here.context.grantPermissions(['microphone'], { origin: new URL(inject('site')).origin });
    await check();
    await page.getByText(/^Listening: \d+ heard\.$/).waitFor();
    expect(await states()).toEqual(['live']);
    await page.getByRole('button', { name: 'Stop and show' }).click();
    await expect.poll(states).toEqual(['ended']);
    await page.getByRole('button', { name: 'Play to a click' }).click();
    await page.getByText(/^Listening: \d+ heard\.$/).waitFor();
    expect(await states()).toEqual(['ended', 'live']);
    await page.getByRole('button', { name: 'All songs' }).click();
    await expect.poll(states).toEqual(['ended', 'ended']);
    expect(here.listening).toEqual(['getUserMedia', 'getUserMedia', 'getUserMedia']);
    expect(here.faults).toEqual([]);
  },
);
