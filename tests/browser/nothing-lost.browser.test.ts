import type { BrowserContext, Page } from 'playwright-core';
import { afterEach, describe, expect, inject, it } from 'vitest';
import type { Session } from '../../src/app/kit/session.js';
import { inFour, wav } from '../platform/decode/signals.js';
import { chromiumOnly, inFirefox, visit, type Visit } from '../support/browser.js';
import { downloaded, dropFile, said, type GivenFile } from '../support/user.js';

declare global {
  interface Window {
    /** The page's session, put there by the test. */
    own: Session;
  }
}

const SONG: GivenFile = { name: 'plain_clicks.wav', bytes: wav({ rate: 16000, channels: [inFour(16000, 14)] }) };
const OTHER: GivenFile = { name: 'other_clicks.wav', bytes: wav({ rate: 22050, channels: [inFour(22050, 9)] }) };
const TITLE = 'Plain Clicks';

let here: Visit | undefined;
afterEach(async () => {
  await here?.context.close();
  here = undefined;
});

async function withSession(page: Page): Promise<void> {
  await page.waitForSelector('bw-app');
  await page.evaluate(() => {
    window.own = document.querySelector('bw-app')!.session;
  });
}

/** A page with the song open and kept. */
async function songOpen(before?: (context: BrowserContext) => Promise<unknown>): Promise<Page> {
  here = await visit();
  let { page } = here;
  if (before) {
    await before(here.context);
    await page.close();
    page = await here.context.newPage();
    await page.goto(inject('site'));
  }
  await withSession(page);
  await dropFile(page, SONG);
  await page.waitForFunction(() => window.own.song.value?.saved === 'saved');
  return page;
}

const retitled = (page: Page, title: string): Promise<void> => page.evaluate((text) => window.own.retitle(text), title);
/** An edit that has to be solved: the page goes away as soon as storage has it. */
const lengthStored = (page: Page): Promise<void> =>
  page.evaluate(async () => {
    const { value } = window.own.song;
    window.own.view.cursor.value = value!.map.spans.find(({ kind }) => kind === 'bar')!.start + 0.1;
    void window.own.lengthKey(3, false);
    const row = (): Promise<{ place: number; pending?: unknown } | undefined> =>
      new Promise((resolve, reject) => {
        const opening = indexedDB.open('barwright');
        opening.onerror = () => reject(new Error('the library could not be opened'));
        opening.onsuccess = () => {
          const rows = opening.result.transaction('songs').objectStore('songs').getAll();
          rows.onsuccess = () => {
            opening.result.close();
            resolve((rows.result as { place: number; pending?: unknown }[])[0]);
          };
        };
      });
    for (;;) {
      const now = await row();
      if (now?.pending !== undefined || now?.place === 1) return;
    }
  });

/** Writes over what is kept, past the program. */
const overwrite = (page: Page, store: string, value: unknown, key: unknown): Promise<void> =>
  page.evaluate(
    ([name, written, at]) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open('barwright');
        opening.onerror = () => reject(new Error('the library could not be opened'));
        opening.onsuccess = () => {
          const tx = opening.result.transaction(name as string, 'readwrite');
          tx.objectStore(name as string).put(written, at as IDBValidKey);
          tx.oncomplete = () => {
            opening.result.close();
            resolve();
          };
        };
      }),
    [store, value, key] as const,
  );

/** The first song of the library on another page of the same browser. */
async function openedAgain(page: Page): Promise<{ title: string | undefined; undo: string | undefined }> {
  if (page.url() === 'about:blank') await page.goto(inject('site'));
  await withSession(page);
  await page.waitForFunction(() => window.own.songs.value.length > 0);
  await page.evaluate(() => window.own.openSong(window.own.songs.value[0]!.id));
  return page.evaluate(() => ({
    title: window.own.song.value?.map.title,
    undo: window.own.song.value?.undoLabel,
  }));
}

describe('the last edit is there', () => {
  it('after the tab was closed while it was solved', async () => {
    const page = await songOpen();
    await lengthStored(page);
    await page.close();
    expect((await openedAgain(await here!.context.newPage())).undo).toMatch(/^bar \d+: 3 beats$/);
  });

  chromiumOnly('a page is crashed by a DevTools command')('after the page crashed while it was solved', async () => {
    const page = await songOpen();
    await lengthStored(page);
    const crashed = page.waitForEvent('crash');
    const devtools = await here!.context.newCDPSession(page);
    void devtools.send('Page.crash').catch(() => undefined);
    await crashed;
    expect((await openedAgain(await here!.context.newPage())).undo).toMatch(/^bar \d+: 3 beats$/);
  });

  chromiumOnly('a page is frozen by a DevTools command')(
    'after the tab was frozen in the middle of it, then discarded',
    async () => {
      const page = await songOpen();
      await lengthStored(page);
      const devtools = await here!.context.newCDPSession(page);
      await devtools.send('Page.setWebLifecycleState', { state: 'frozen' });
      await page.close();
      expect((await openedAgain(await here!.context.newPage())).undo).toMatch(/^bar \d+: 3 beats$/);
    },
  );

  it('after a reload in the middle of another song’s analysis, and of saving a project', async () => {
    const page = await songOpen();
    await retitled(page, 'Before');
    await dropFile(page, OTHER);
    await page.waitForFunction(() => window.own.task.value !== undefined);
    await page.reload();
    expect((await openedAgain(page)).title).toBe('Before');
    await page.waitForFunction(() => window.own.song.value?.audible);
    await page.evaluate(() => {
      const saving = window.own.commands.find(({ id }) => id === 'save-project')!;
      void saving.run(window.own);
      window.own.say({ kind: 'info', text: 'going' });
    });
    // In Firefox playwright-core takes the download for the end of the reload.
    await page.reload().catch((error: unknown) => {
      if (!inFirefox()) throw error;
    });
    expect((await openedAgain(page)).title).toBe('Before');
  });

  chromiumOnly('a running worker cannot be reached there')(
    'when the worker that solves it dies: that is said, and trying again does it',
    async () => {
      const page = await songOpen();
      await page.waitForFunction(() => window.own.songs.value.length === 1);
      const worker = page.workers().find((each) => each.url().includes('analysis'))!;
      await worker.evaluate(() => {
        self.onmessage = () => {
          throw new Error('killed by the test');
        };
      });
      await page.evaluate(() => {
        window.own.view.cursor.value = window.own.song.value!.map.spans.find(({ kind }) => kind === 'bar')!.start + 0.1;
        return window.own.lengthKey(3, false);
      });
      await said(page, 'stopped unexpectedly; nothing of the song is lost').waitFor();
      await page.getByRole('button', { name: 'Try again' }).click();
      await page.waitForFunction(() => window.own.song.value?.undoLabel?.endsWith('3 beats'));
    },
  );
});

describe('before anything is lost the user is told', () => {
  it('when the disk is full: the song is saved as a file, and stored once there is room', async () => {
    const page = await songOpen((context) =>
      context.addInitScript(() => {
        const own = window as unknown as { full: boolean };
        const { put } = IDBObjectStore.prototype;
        IDBObjectStore.prototype.put = function (...args) {
          if (own.full) throw new DOMException('no room', 'QuotaExceededError');
          return put.apply(this, args);
        };
      }),
    );
    const full = (is: boolean): Promise<void> =>
      page.evaluate((now) => void ((window as unknown as { full: boolean }).full = now), is);
    await full(true);
    await retitled(page, 'With no room');
    await said(page, /There is no room left to keep the edit/).waitFor();
    expect(await page.evaluate(() => window.own.song.value?.saved)).toBe('failed');
    const file = await downloaded(page, () => page.evaluate(() => window.own.saveProject(true)));
    expect(file.name).toBe('With no room.barwright');
    // Leaving is questioned as long as it is not stored.
    const asked = await page.evaluate(() => !window.dispatchEvent(new Event('beforeunload', { cancelable: true })));
    expect(asked).toBe(true);
    await full(false);
    await retitled(page, 'With room');
    await page.waitForFunction(() => window.own.song.value?.saved === 'saved');
    await page.reload();
    expect((await openedAgain(page)).title).toBe('With room');
  });

  it('when the disk is full while a recording is stored: the map is kept, and the recording once there is room', async () => {
    here = await visit();
    const { page } = here;
    await withSession(page);
    await page.evaluate(() => {
      const { write } = FileSystemWritableFileStream.prototype;
      FileSystemWritableFileStream.prototype.write = () => {
        FileSystemWritableFileStream.prototype.write = write;
        return Promise.reject(new DOMException('no room', 'QuotaExceededError'));
      };
    });
    await dropFile(page, SONG);
    await said(
      page,
      /There is no room to keep the recording itself; the map is kept\. Choose the file again/,
    ).waitFor();
    await page.waitForFunction(() => window.own.song.value?.saved === 'saved' && window.own.song.value.audible);
    await retitled(page, 'Without its sound');
    await page.waitForFunction(() => window.own.song.value?.saved === 'saved');
    await page.reload();
    expect((await openedAgain(page)).title).toBe('Without its sound');
    expect(await page.evaluate(() => window.own.song.value?.audible)).toBe(false);
    await dropFile(page, SONG);
    await page.waitForFunction(() => window.own.song.value?.audible);
    await page.reload();
    await openedAgain(page);
    await page.waitForFunction(() => window.own.song.value?.audible);
  });

  it('when the browser keeps nothing: at once, with a way to save by file, and again on leaving', async () => {
    const page = await songOpen((context) =>
      context.addInitScript(() => {
        IDBFactory.prototype.open = () => {
          throw new DOMException('no storage in this window', 'SecurityError');
        };
      }),
    );
    expect(await page.evaluate(() => window.own.keeping.value)).toBe('not kept');
    await retitled(page, 'Nowhere but here');
    // The header says so instead of "Saved", and is itself the way out.
    const way = page.locator('bw-song-header').getByRole('button', { name: 'Not kept' });
    const file = await downloaded(page, () => way.click());
    expect(file.name).toBe('Nowhere but here.barwright');
    expect(await page.evaluate(() => !window.dispatchEvent(new Event('beforeunload', { cancelable: true })))).toBe(
      true,
    );
    await page.evaluate(() => window.own.closeSong());
    await page
      .getByText(`Songs here are gone when this page closes. Changed since the last backup: “Nowhere but here”.`)
      .waitFor();
  });

  it('when the browser deletes what it kept: the open song is stored again, and is said to be without its recording', async () => {
    const page = await songOpen();
    await retitled(page, 'Before');
    await page.waitForFunction(() => window.own.song.value?.saved === 'saved');
    await page.evaluate(
      () =>
        new Promise<void>((resolve, reject) => {
          const deleting = indexedDB.deleteDatabase('barwright');
          deleting.onsuccess = () => resolve();
          deleting.onerror = () => reject(new Error('not deleted'));
        }),
    );
    await said(page, /had been deleted from outside\. The song and its steps are stored again/).waitFor();
    await page.waitForFunction(() => window.own.song.value?.saved === 'saved');
    expect(await page.evaluate(() => window.own.song.value?.hasAudio)).toBe(false);
    await page.reload();
    expect(await openedAgain(page)).toEqual({ title: 'Before', undo: 'title: Before' });
    expect(await page.evaluate(() => window.own.song.value?.hasAudio)).toBe(false);
  });

  it('when what is kept of a song is damaged: what is left of it is opened, and what is missing is said', async () => {
    const page = await songOpen();
    await retitled(page, 'First');
    await retitled(page, 'Second');
    await page.waitForFunction(() => window.own.song.value?.saved === 'saved');
    await page.evaluate(() => window.own.closeSong());
    const { id } = await page.evaluate(() => window.own.songs.value[0]!);
    await overwrite(page, 'steps', { index: 2, label: 'x', patch: 'x' }, [id, 2]);
    await overwrite(page, 'evidence', { version: 'x' }, [id, -1]);
    await page.reload();
    expect(await openedAgain(page)).toEqual({ title: 'First', undo: 'title: First' });
    await said(page, /What was kept of "First" was damaged\. Missing now: some of its steps.*; its analysis/).waitFor();
    await overwrite(page, 'steps', { index: 0 }, [id, 0]);
    await overwrite(page, 'steps', { index: 1 }, [id, 1]);
    await page.reload();
    expect((await openedAgain(page)).title).toBeUndefined();
    await said(page, /no map can be read of it/).waitFor();
    await page.getByRole('button', { name: 'Map its recording anew' }).click();
    await page.waitForFunction(() => window.own.song.value !== undefined);
    await page.waitForFunction((first) => window.own.song.value!.id !== first, id);
  });

  it('when another tab with a newer program has taken over the library; the older one changes nothing', async () => {
    const page = await songOpen();
    const newer = await here!.context.newPage();
    await newer.goto(`${inject('site')}icon.svg`);
    await newer.evaluate(
      () =>
        new Promise<void>((resolve, reject) => {
          const opening = indexedDB.open('barwright', 99);
          opening.onerror = () => reject(new Error('not opened'));
          opening.onsuccess = () => {
            opening.result.close();
            resolve();
          };
        }),
    );
    // At once, not only with the next edit.
    await said(page, /last kept by a newer version of this program/).waitFor();
    await retitled(page, 'Too late');
    await page.bringToFront();
    const file = await downloaded(page, () => page.evaluate(() => window.own.saveProject(true)));
    expect(file.name).toBe('Too late.barwright');
    await page.evaluate(() => window.own.song.value?.saved).then((saved) => expect(saved).toBe('failed'));
    const third = await here!.context.newPage();
    await third.goto(inject('site'));
    await said(third, /last kept by a newer version of this program\. Reload the page/).waitFor();
  });
});

describe('a backup', () => {
  it('whose restoring is interrupted by a reload is taken up again; nothing is doubled or overwritten', async () => {
    const page = await songOpen();
    await page.evaluate(() => window.own.closeSong());
    await dropFile(page, OTHER);
    await page.waitForFunction(() => window.own.songs.value.length === 2 && !window.own.task.value);
    const file = await downloaded(page, () => page.evaluate(() => window.own.backUp()));
    expect(file.name).toMatch(/\.barwright-songs$/);
    expect(await page.evaluate(() => window.own.notBackedUp.value.length)).toBe(0);
    await here!.context.close();
    here = await visit();
    const fresh = here.page;
    await withSession(fresh);
    await dropFile(fresh, file);
    await fresh.waitForFunction(() => window.own.songs.value.length > 0);
    await fresh.reload();
    await withSession(fresh);
    await fresh.waitForFunction(() => window.own.songs.value.length > 0);
    await dropFile(fresh, file);
    await said(fresh, /restored/).waitFor();
    const titles = await fresh.evaluate(() => window.own.songs.value.map(({ title }) => title).sort());
    expect(titles).toEqual(['Other Clicks', TITLE]);
    await fresh.getByRole('button', { name: /^Other Clicks/ }).click();
    await fresh.waitForFunction(() => window.own.song.value?.audible);
    expect(here.faults).toEqual([]);
  });
});
