import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import type { Download, Page } from 'playwright-core';
import type {} from '../../src/app/shell/app-shell.js';
import { visit, type Visit } from '../support/browser.js';
import { sampleProject } from '../support/seed.js';
import { audible, chooseButton, chooseFile, said, songShown } from '../support/user.js';

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit();
  ({ page } = here);
  await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg', { audio: true }));
  await songShown(page);
  await audible(page);
  // What the page asks the system for, so that a test can press the media keys.
  await page.evaluate(() => {
    const keys: Record<string, (() => void) | null> = {};
    Object.assign(window, { mediaKeys: keys });
    navigator.mediaSession.setActionHandler = (name, run) => (keys[name] = run as () => void);
  });
  await page.getByRole('tab', { name: 'Play' }).click();
});
afterAll(() => here.context.close());
afterEach(() => expect([here.strangers, here.faults]).toEqual([[], []]));

const position = () => page.evaluate(() => document.querySelector('bw-app')!.session.position());
const practice = () => page.evaluate(() => document.querySelector('bw-app')!.session.practice.value);
const playing = (yes: boolean) =>
  page.waitForFunction((yes) => document.querySelector('bw-app')!.session.playing.value === yes, yes);
const mediaKey = (name: string) =>
  page.evaluate((name) => (window as unknown as { mediaKeys: Record<string, () => void> }).mediaKeys[name]!(), name);

it('counts in, plays a section slower in a loop, changes the speed on the way, and stops', async () => {
  await page.getByRole('button', { name: '1 bar', exact: true }).click();
  await page.getByLabel('Loop a section').selectOption({ index: 2 });
  await page.getByRole('button', { name: 'Slower' }).first().click();
  await page.getByText('95 %', { exact: true }).waitFor();
  await page.getByRole('button', { name: 'Play', exact: true }).click();
  const count = page.locator('bw-play-stage .count');
  await count.filter({ hasText: '2' }).waitFor();
  await count.filter({ hasText: '4' }).waitFor();
  await count.waitFor({ state: 'hidden' });
  const { loop } = await practice();
  await page.locator('bw-play-stage .dot[data-on]').waitFor();
  const before = await position();
  expect(before).toBeGreaterThanOrEqual(loop!.from);
  await page.getByRole('button', { name: 'Faster' }).first().click();
  await page.getByText('100 %', { exact: true }).waitFor();
  await page.waitForFunction((then) => document.querySelector('bw-app')!.session.position() > then + 0.5, before);
  expect(await position()).toBeLessThan(loop!.until);
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByRole('button', { name: 'Play', exact: true }).waitFor();
  // The loop that was played is offered again once another one is set.
  await page.getByLabel('Loop a section').selectOption({ index: 0 });
  await page.getByRole('group', { name: 'Loops last played' }).getByRole('button').first().click();
  expect((await practice()).loop).toMatchObject({ from: loop!.from, until: loop!.until });
});

it('plays again and goes on by pedal and by media key, wherever the focus is', async () => {
  const { loop } = await practice();
  await page.getByLabel('Speed', { exact: true }).focus();
  await page.keyboard.press('PageUp');
  await page.locator('bw-play-stage .count').filter({ hasText: '3' }).waitFor();
  await page.keyboard.press('PageDown');
  await said(page, /^Next: /).waitFor();
  expect((await practice()).loop!.from).toBeCloseTo(loop!.until, 2);
  await mediaKey('pause');
  await playing(false);
  await mediaKey('previoustrack');
  await playing(true);
  await mediaKey('pause');
  await playing(false);
  await page.getByRole('button', { name: 'No loop' }).click();
  expect((await practice()).loop).toBeUndefined();
});

it('plays sections in another order, and says on the stage what follows the join', async () => {
  await page.getByRole('button', { name: 'New', exact: true }).click();
  await page.getByLabel('Name of the arrangement').waitFor();
  const names = () => page.locator('bw-arrangement-panel li .name').allTextContents();
  const before = await names();
  await page.getByRole('button', { name: '1. A: down' }).click();
  await expect.poll(names).toEqual([before[1], before[0], ...before.slice(2)]);
  await page.getByRole('button', { name: 'none', exact: true }).click();
  await page.evaluate(() => {
    const { session } = document.querySelector('bw-app')!;
    const { sections } = session.song.value!.map;
    // The last bar of what is played first.
    session.view.cursor.value = sections[2]!.start - 2;
  });
  await page.getByRole('button', { name: 'Play', exact: true }).click();
  await page.locator('bw-play-stage .left', { hasText: `then ${before[0]}` }).waitFor();
  const start = await page.evaluate(() => document.querySelector('bw-app')!.session.song.value!.map.sections[1]!.start);
  await page.waitForFunction((start) => document.querySelector('bw-app')!.session.position() < start, start);
  await page.keyboard.press(' ');
  await playing(false);
  await page.getByRole('button', { name: 'Take away' }).click();
});

it('is heard on while the page stalls', async () => {
  await page.getByRole('button', { name: 'Play', exact: true }).click();
  await playing(true);
  const [from, to] = await page.evaluate(async () => {
    const { session } = document.querySelector('bw-app')!;
    while (session.position() < 0.1) await new Promise(requestAnimationFrame);
    const from = session.position();
    const end = performance.now() + 500;
    while (performance.now() < end);
    // Firefox's clock of the sound stands still within one turn of the page.
    await new Promise((next) => setTimeout(next));
    return [from, session.position()];
  });
  expect(to - from).toBeGreaterThan(0.3);
  await page.keyboard.press(' ');
  await playing(false);
});

it('checks taps against the beats and says how they were', async () => {
  await page.getByRole('tab', { name: 'Timing' }).click();
  await page.getByRole('button', { name: 'Check my taps' }).click();
  await playing(true);
  await page.evaluate(async () => {
    const { session } = document.querySelector('bw-app')!;
    const { map } = session.song.value!;
    const beats = map.spans.flatMap((span) => (span.kind === 'bar' ? span.beats : []));
    const tap = document.activeElement!;
    const deep = (element: Element): Element =>
      element.shadowRoot?.activeElement ? deep(element.shadowRoot.activeElement) : element;
    const first = beats.findIndex((beat) => beat > session.position() + 0.2);
    for (const beat of beats.slice(first, first + 5)) {
      while (session.position() < beat) await new Promise(requestAnimationFrame);
      deep(tap).dispatchEvent(
        new KeyboardEvent('keydown', { key: 'x', bubbles: true, composed: true, cancelable: true }),
      );
    }
  });
  await page.getByRole('button', { name: 'Stop and show' }).click();
  await page.getByText(/^5 strokes in \d bars?: on average/).waitFor();
  await page.getByRole('tab', { name: 'Practice' }).click();
});

it('makes practice tracks that another program reads', async () => {
  const fetched = page.waitForEvent('download');
  await page.getByLabel('Speeds in percent').fill('130, 100');
  await page.getByRole('button', { name: 'Make 2 tracks' }).click();
  const download = await fetched;
  expect(download.suggestedFilename()).toBe('Kites over Brennick practice tracks.zip');
  const tracks = unzipSync(await bytesOf(download));
  expect(Object.keys(tracks)).toEqual([
    'Kites over Brennick 130 percent 124 bpm.wav',
    'Kites over Brennick 100 percent 95 bpm.wav',
  ]);
  // Counted in: four beats and the two before the pickup, up to the pickup itself.
  const length = await page.evaluate(() => {
    const { spans, end } = document.querySelector('bw-app')!.session.song.value!.map;
    const pickup = spans.find((span) => span.kind === 'bar')!.beats;
    return end - pickup[0]! + 6 * (pickup[1]! - pickup[0]!);
  });
  const [fast, plain] = Object.values(tracks).map((bytes) => decodeWav(bytes));
  expect(fast!.seconds).toBeCloseTo(length / 1.3 + 0.5, 1);
  expect(plain!.seconds).toBeCloseTo(length + 0.5, 1);
  for (const { peak } of [fast!, plain!]) expect(peak).toBeGreaterThan(0.2);
});

it('makes MP3 tracks one by one where there are no files to write to', async () => {
  await page.evaluate(() => {
    navigator.storage.getDirectory = () => Promise.reject(new Error('none here'));
  });
  await page.getByLabel('Loop a section').selectOption({ index: 3 });
  await page.getByLabel('What the tracks hold').selectOption('loop');
  await page.getByRole('button', { name: 'MP3' }).click();
  await page.getByLabel('Chords spoken before they change').check();
  const names: string[] = [];
  page.on('download', (download) => names.push(download.suggestedFilename()));
  const first = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Make 2 tracks' }).click();
  const bytes = await bytesOf(await first);
  await said(page, /^2 tracks saved one by one/).waitFor();
  expect(names).toEqual([
    expect.stringMatching(/ bars \d+ to \d+ 130 percent 124 bpm\.mp3$/),
    expect.stringMatching(/ bars \d+ to \d+ 100 percent 95 bpm\.mp3$/),
  ]);
  // What it is (ID3v2.3: four bytes of seven bits tell the length), then frames of MPEG-1 layer III at 160 kbit/s (ISO/IEC 11172-3).
  expect(new TextDecoder().decode(bytes.subarray(0, 3))).toBe('ID3');
  const at = 10 + [6, 7, 8, 9].reduce((size, i) => 128 * size + bytes[i]!, 0);
  expect([bytes[at], bytes[at + 1]! & 0xfe, bytes[at + 2]! >> 4]).toEqual([0xff, 0xfa, 10]);
});

async function bytesOf(download: Download): Promise<Uint8Array> {
  const folder = mkdtempSync(join(tmpdir(), 'barwright-tracks-'));
  await download.saveAs(join(folder, 'file'));
  const bytes = new Uint8Array(readFileSync(join(folder, 'file')));
  rmSync(folder, { recursive: true });
  return bytes;
}

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

it('says so when the sound does not start, and can be tried again', async () => {
  await page.getByRole('tab', { name: 'Map' }).click();
  await page.evaluate(() => {
    const { resume } = AudioContext.prototype;
    AudioContext.prototype.resume = () => {
      AudioContext.prototype.resume = resume;
      return new Promise(() => undefined);
    };
  });
  const play = page.locator('bw-transport').getByRole('button', { name: 'Play', exact: true });
  await play.click();
  await said(page, 'No sound starts here.').waitFor();
  await play.click();
  await playing(true);
  await page.keyboard.press('Escape');
  await page.locator('bw-transport').getByRole('button', { name: 'Stop', exact: true }).click();
});
