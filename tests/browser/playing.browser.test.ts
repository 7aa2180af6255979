import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { expect, it } from 'vitest';
import type {} from '../../src/ui/app-shell.js';
import { visit } from '../support/browser.js';

it('counts in, plays a section slower in a loop, changes the speed on the way, and stops', async () => {
  const { context, page, strangers, faults } = await visit();
  await page.locator('[data-sample="kites-over-brennick.ogg"]').click();
  await page.locator('bw-map-view').waitFor({ timeout: 120_000 });
  await page.waitForFunction(() => document.querySelector('bw-app')!.session.song.value?.audible);
  await page.getByRole('tab', { name: 'Play' }).click();
  await page.getByRole('button', { name: '1 bar', exact: true }).click();
  await page.getByLabel('Loop a section').selectOption({ index: 2 });
  await page.getByRole('button', { name: 'Slower' }).first().click();
  await page.getByText('95 %', { exact: true }).waitFor();
  await page.getByRole('button', { name: 'Play', exact: true }).click();
  const count = page.locator('bw-play-stage .count');
  await count.filter({ hasText: '2' }).waitFor();
  await count.filter({ hasText: '4' }).waitFor();
  await count.waitFor({ state: 'hidden' });
  const loop = await page.evaluate(() => document.querySelector('bw-app')!.session.practice.value.loop!);
  const position = () => page.evaluate(() => document.querySelector('bw-app')!.session.position());
  await page.locator('bw-play-stage .dot[data-on]').waitFor();
  const before = await position();
  expect(before).toBeGreaterThanOrEqual(loop.from);
  await page.getByRole('button', { name: 'Faster' }).first().click();
  await page.getByText('100 %', { exact: true }).waitFor();
  await page.waitForFunction((then) => document.querySelector('bw-app')!.session.position() > then + 0.5, before);
  expect(await position()).toBeLessThan(loop.until);
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor();
  expect([strangers, faults]).toEqual([[], []]);
  await context.close();
});

it('makes practice tracks that another program reads', async () => {
  const { context, page, strangers, faults } = await visit();
  await page.locator('[data-sample="kites-over-brennick.ogg"]').click();
  await page.locator('bw-map-view').waitFor({ timeout: 120_000 });
  await page.waitForFunction(() => document.querySelector('bw-app')!.session.song.value?.audible);
  await page.getByRole('tab', { name: 'Play' }).click();
  const fetched = page.waitForEvent('download');
  await page.getByLabel('Speeds in percent').fill('130, 100');
  await page.getByRole('button', { name: 'Make 2 tracks' }).click();
  const download = await fetched;
  expect(download.suggestedFilename()).toBe('Kites over Brennick practice tracks.zip');
  const folder = mkdtempSync(join(tmpdir(), 'barwright-tracks-'));
  await download.saveAs(join(folder, 'tracks.zip'));
  const tracks = unzipSync(new Uint8Array(readFileSync(join(folder, 'tracks.zip'))));
  rmSync(folder, { recursive: true });
  expect(Object.keys(tracks)).toEqual([
    'Kites over Brennick 130 percent 124 bpm.wav',
    'Kites over Brennick 100 percent 95 bpm.wav',
  ]);
  const length = await page.evaluate(() => {
    const { start, end } = document.querySelector('bw-app')!.session.song.value!.map;
    return end - start;
  });
  const [fast, plain] = Object.values(tracks).map((bytes) => decodeWav(bytes));
  expect(fast!.seconds).toBeCloseTo(length / 1.3 + 0.512, 1);
  expect(plain!.seconds).toBeCloseTo(length + 0.512, 1);
  for (const { peak } of [fast!, plain!]) expect(peak).toBeGreaterThan(0.2);
  expect([strangers, faults]).toEqual([[], []]);
  await context.close();
});

/** Length and peak of a 16-bit stereo WAV file, by ffmpeg (Debian) where it is there, else from the file itself. */
function decodeWav(bytes: Uint8Array): { readonly seconds: number; readonly peak: number } {
  const read = spawnSync('ffmpeg', ['-v', 'error', '-i', '-', '-f', 's16le', '-ac', '2', '-'], {
    input: bytes,
    maxBuffer: 2 ** 30,
  });
  const pcm = read.status === 0 ? new Uint8Array(read.stdout) : bytes.subarray(bytes.length % 4);
  const samples = new Int16Array(pcm.slice().buffer);
  let peak = 0;
  for (const sample of samples) peak = Math.max(peak, Math.abs(sample) / 32768);
  const rate = new DataView(bytes.buffer, bytes.byteOffset).getUint32(24, true);
  return { seconds: samples.length / 2 / rate, peak };
}
