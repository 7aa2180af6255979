import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Session } from '../../src/app/kit/session.js';
import { visit, type Visit } from '../support/browser.js';

declare global {
  interface Window {
    /** The page's session, put there by the test. */
    kept: Session;
  }
}

/** Seconds of clicks at 120 bpm with every fourth one low and loud, as a WAV file made in the page. */
async function openClicks(page: Page): Promise<void> {
  await page.evaluate(async () => {
    const rate = 22050;
    const count = rate * 20;
    const bytes = new DataView(new ArrayBuffer(44 + count * 2));
    const text = (at: number, words: string): void =>
      [...words].forEach((letter, i) => bytes.setUint8(at + i, letter.charCodeAt(0)));
    text(0, 'RIFF');
    bytes.setUint32(4, 36 + count * 2, true);
    text(8, 'WAVEfmt ');
    bytes.setUint32(16, 16, true);
    bytes.setUint16(20, 1, true);
    bytes.setUint16(22, 1, true);
    bytes.setUint32(24, rate, true);
    bytes.setUint32(28, rate * 2, true);
    bytes.setUint16(32, 2, true);
    bytes.setUint16(34, 16, true);
    text(36, 'data');
    bytes.setUint32(40, count * 2, true);
    for (let i = 0; i < count; i += 1) {
      const since = i / rate - 1;
      const beat = Math.floor(since / 0.5);
      const [pitch, level] = beat % 4 === 0 ? [110, 0.9] : [440, 0.4];
      const after = since - beat * 0.5;
      const sound = since < 0 || since > 18 ? 0 : level * Math.exp(-40 * after) * Math.sin(2 * Math.PI * pitch * after);
      bytes.setInt16(44 + 2 * i, Math.round(sound * 32000), true);
    }
    await window.kept.openFile(new File([bytes.buffer], 'plain_clicks.wav', { type: 'audio/wav' }));
  });
}

async function withSession(page: Page): Promise<void> {
  await page.waitForSelector('bw-app');
  await page.evaluate(() => {
    window.kept = document.querySelector('bw-app')!.session;
  });
}

async function songsListed(page: Page): Promise<void> {
  await page.waitForFunction(() => window.kept.songs.value.length > 0);
}

const openFirst = (page: Page) =>
  page.evaluate(async () => {
    await window.kept.openSong(window.kept.songs.value[0]!.id);
    const { value } = window.kept.song;
    return { map: value && JSON.stringify(value.map), undo: value?.undoLabel, said: window.kept.notice.value?.text };
  });

describe('a song in the browser', () => {
  let here: Visit;

  beforeAll(async () => {
    here = await visit();
    await withSession(here.page);
    await openClicks(here.page);
  });

  afterAll(() => here.context.close());

  it('is kept with its recording in a file of the page', async () => {
    const { page } = here;
    expect(await page.evaluate(() => window.kept.song.value?.map.title)).toBe('Plain Clicks');
    const sizes = await page.evaluate(async () => {
      const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('recordings');
      const found: number[] = [];
      for await (const handle of folder.values()) {
        if (handle.kind === 'file') found.push((await (handle as FileSystemFileHandle).getFile()).size);
      }
      return found;
    });
    expect(sizes).toEqual([44 + 2 * 22050 * 20]);
  });

  it('comes back from a reload with its edits, its history and its sound, and an edit cut short is finished', async () => {
    const { page } = here;
    await page.evaluate(() => window.kept.retitle('Clicks'));
    await page.evaluate(async () => {
      window.kept.view.cursor.value = window.kept.song.value!.map.start + 8;
      // Not waited for: the page goes away as soon as the edit is stored, solved or not.
      void window.kept.lengthKey(3, false);
      const stored = (): Promise<boolean> =>
        new Promise((resolve, reject) => {
          const opening = indexedDB.open('barwright');
          opening.onerror = () => reject(new Error('the library could not be opened'));
          opening.onsuccess = () => {
            const rows = opening.result.transaction('songs').objectStore('songs').getAll();
            rows.onsuccess = () => {
              const [row] = rows.result as { place: number; pending?: unknown }[];
              opening.result.close();
              resolve(row?.pending !== undefined || row?.place === 2);
            };
          };
        });
      while (!(await stored()));
    });
    await page.reload();
    await withSession(page);
    await songsListed(page);
    const opened = await openFirst(page);
    expect(opened.undo).toMatch(/^bar \d+: 3 beats$/);
    await page.waitForFunction(() => window.kept.song.value?.audible === true);
    await page.evaluate(async () => {
      while (window.kept.song.value!.undoLabel !== undefined) await window.kept.undo();
    });
    expect(await page.evaluate(() => window.kept.song.value?.map.title)).toBe('Plain Clicks');
  });

  it('is not opened by a second window until the first lets go of it', async () => {
    const second = await here.context.newPage();
    await second.goto(here.page.url());
    await withSession(second);
    await songsListed(second);
    expect(await openFirst(second)).toMatchObject({ said: expect.stringMatching(/open in another window/) as string });
    await here.page.evaluate(() => window.kept.closeSong());
    expect((await openFirst(second)).map).toBeDefined();
    await second.close();
  });

  it('left no error behind and asked nobody else for anything', () => {
    expect(here.faults).toEqual([]);
    expect(here.strangers).toEqual([]);
  });
});
