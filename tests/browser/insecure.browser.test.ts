import { chromium } from 'playwright-core';
import { expect, it } from 'vitest';
import { decodeFile } from '../../src/platform/decode/node.js';
import { findChromium } from '../../src/scripts/browsers.mjs';
import { wav } from '../platform/decode/signals.js';
import { samplePath } from '../support/sample-evidence.js';
import { StaticSite } from '../support/static-site.js';
import { chooseButton, dropFile, said, songShown } from '../support/user.js';

it('over plain http from another machine: says what is missing and how to reach it, and still makes the map', async () => {
  const site = new StaticSite('/barwright/');
  await site.start();
  const { port, pathname } = new URL(site.address);
  const browser = await chromium.launch({
    executablePath: findChromium(),
    args: ['--headless', '--no-sandbox', '--disable-gpu', '--host-resolver-rules=MAP rehearsal-room 127.0.0.1'],
  });
  try {
    const page = await (await browser.newContext()).newPage();
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(String(error)));
    await page.goto(`http://rehearsal-room:${port}${pathname}`);
    await chooseButton(page).waitFor();
    expect(await page.evaluate(() => isSecureContext)).toBe(false);
    const note = await page.getByRole('note').innerText();
    expect(note).toMatch(/^At this address \(http:\/\/rehearsal-room:\d+\) .*no page play sound.*begins with https/);
    expect(note).toContain(`http://localhost:${port}${pathname}`);
    const { signal } = await decodeFile(samplePath('tarn-at-wendlow.mp3'));
    const bytes = wav({ rate: 22050, channels: [signal.slice(13 * 22050, 37 * 22050)] });
    await dropFile(page, { name: 'tarn_excerpt.wav', bytes });
    await songShown(page);
    await page.keyboard.press(' ');
    await said(page, note).waitFor();
    expect(faults).toEqual([]);
  } finally {
    await browser.close();
    await site.remove();
  }
});
