import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { visit, type Visit } from '../support/browser.js';
import { jamsFaults, type Jams } from '../support/jams-schema.js';
import { samplePath } from '../support/sample-evidence.js';
import { doubtfulProject, sampleProject } from '../support/seed.js';
import {
  audible,
  bar,
  chooseButton,
  chooseFile,
  clickBeat,
  done,
  fileAt,
  fromMenu,
  mapShown,
} from '../support/user.js';
import { openKept, said, saved, songShown, toAllSongs, undoAll, type GivenFile } from '../support/user.js';

declare global {
  interface Window {
    /** What the progress bar said since the test began to listen. */
    tasks: string[];
  }
}

const KITES = 'Kites over Brennick';
const LANTERN = 'Lantern Road';
const visits: Visit[] = [];

async function freshPage(): Promise<Page> {
  const here = await visit();
  visits.push(here);
  await chooseButton(here.page).waitFor();
  return here.page;
}

afterEach(() => {
  for (const { faults, strangers } of visits) {
    expect(faults).toEqual([]);
    expect(strangers).toEqual([]);
  }
});
afterAll(async () => {
  for (const { context } of visits) await context.close();
});

const listed = (page: Page): Promise<string[]> => page.locator('bw-song-library li b').allInnerTexts();

describe('what a song is handed over as', () => {
  let page: Page;
  let map: SongMap;
  let whole: GivenFile;
  let bare: GivenFile;

  beforeAll(async () => {
    page = await freshPage();
    await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg', { audio: true }));
    await songShown(page);
    await clickBeat(page, 20, 1);
    await page.keyboard.press('3');
    await done(page, 'bar 20: 3 beats');
    await clickBeat(page, 24, 1);
    await bar(page, 27).click({ modifiers: ['Shift'] });
    await page.keyboard.press('n');
    await page.getByLabel('Name for bars 24 to 27').fill('Tag');
    await page.keyboard.press('Enter');
    await done(page, 'bars 24 to 27: Tag');
    map = await mapShown(page);
  });

  it('JAMS: valid by its published schema, with the bars and sections shown', async () => {
    const file = await saved(page, 'Export as JAMS (music annotation)');
    expect(file.name).toBe(`${KITES}.jams`);
    const jams = JSON.parse(new TextDecoder().decode(file.bytes)) as Jams;
    expect(jamsFaults(jams)).toEqual([]);
    expect(jams.file_metadata.title).toBe(KITES);
    const of = (namespace: string) => jams.annotations.find((each) => each.namespace === namespace)!.data;
    const ones = of('beat_position').filter(({ value }) => (value as { position: number }).position === 1);
    expect(ones.map(({ time }) => time)).toEqual(
      barsOf(map)
        .filter((each) => each.pickup !== true)
        .map(({ start }) => expect.closeTo(start, 3) as number),
    );
    expect(of('segment_open').map(({ value }) => value)).toContain('Tag');
  });

  it('a project with its recording: in a fresh browser it is the same song, can be heard and undone', async () => {
    whole = await saved(page, 'Save as a project file, with the recording');
    expect(whole.name).toBe(`${KITES}.barwright`);
    expect(whole.bytes.length).toBeGreaterThan(readFileSync(samplePath('kites-over-brennick.ogg')).length);
    const other = await freshPage();
    await chooseFile(other, chooseButton(other), whole);
    await songShown(other);
    expect(await mapShown(other)).toEqual(map);
    await audible(other);
    await other.getByRole('button', { name: 'Undo bars 24 to 27: Tag' }).click();
    await other.getByRole('button', { name: 'Undo bar 20: 3 beats' }).click();
    await other.getByRole('button', { name: 'Undo', exact: true }).waitFor();
    expect(await bar(other, 20).getAttribute('aria-label')).toMatch(/^bar 20, 4 beats/);
    // It is solved with its own evidence, as before.
    await clickBeat(other, 22, 1);
    await other.keyboard.press('2');
    await done(other, 'bar 22: 2 beats');
  });

  it('a project without its recording: it asks for that, takes the right file and no other', async () => {
    bare = await saved(page, 'Save as a project file, without the recording');
    expect(bare.bytes.length).toBeLessThan(whole.bytes.length / 4);
    const other = await freshPage();
    await chooseFile(other, chooseButton(other), bare);
    await songShown(other);
    await said(other, 'Choose "kites-over-brennick.ogg" to hear it.').waitFor();
    expect(await other.locator('bw-transport').getByRole('button', { name: 'Play' }).isDisabled()).toBe(true);
    const choose = other.locator('bw-notice-bar').getByRole('button', { name: 'Choose the recording' });
    await chooseFile(other, choose, fileAt(samplePath('tarn-at-wendlow.mp3')));
    await other
      .getByRole('alert')
      .filter({ hasText: `"tarn-at-wendlow.mp3" (3:19) is not the recording of "${KITES}"` })
      .waitFor();
    expect(await mapShown(other)).toEqual(map);

    const chooser = other.waitForEvent('filechooser');
    await fromMenu(other, 'Choose the recording of this song…');
    await (await chooser).setFiles(samplePath('kites-over-brennick.ogg'));
    await said(other, `"${KITES}" has its recording now.`).waitFor();
    await audible(other);
    expect(await mapShown(other)).toEqual(map);
  });
});

describe('the library', () => {
  let page: Page;
  let kites: SongMap;

  beforeAll(async () => {
    page = await freshPage();
    await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg', { audio: true }));
    await songShown(page);
    await clickBeat(page, 20, 1);
    await page.keyboard.press('3');
    await done(page, 'bar 20: 3 beats');
    kites = await mapShown(page);
    await toAllSongs(page);
    await chooseFile(page, chooseButton(page), doubtfulProject());
    await songShown(page);
    await toAllSongs(page);
  });

  it('lists the songs, the last one changed first', async () => {
    expect(await listed(page)).toEqual([LANTERN, KITES]);
  });

  it('opens a song as it was left, without analysing it again', async () => {
    await page.evaluate(() => {
      window.tasks = [];
      document.querySelector('bw-app')!.session.task.subscribe((task) => task && window.tasks.push(task.text));
    });
    const evidence = () =>
      page.evaluate(() => {
        const { tracks, version } = document.querySelector('bw-app')!.session.song.value!.evidence;
        return version + Object.values(tracks).map(({ data }) => data.reduce((sum, x) => (sum * 31 + x) % 65521, 7));
      });
    await openKept(page, KITES);
    expect(await mapShown(page)).toEqual(kites);
    const before = await evidence();
    await audible(page);
    await page.reload();
    await openKept(page, KITES);
    expect(await evidence()).toBe(before);
    expect(await page.evaluate(() => window.tasks ?? [])).toEqual([]);
    await undoAll(page);
    await toAllSongs(page);
    expect(await listed(page)).toEqual([KITES, LANTERN]);
  });

  it('gives a song another name, which can be undone in the song', async () => {
    await page.getByRole('button', { name: `Rename ${LANTERN}` }).click();
    await page.getByLabel('New title').fill('Lantern Lane');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Rename Lantern Lane' }).waitFor();
    await openKept(page, 'Lantern Lane');
    await done(page, 'title: Lantern Lane');
    await page.keyboard.press('Control+z');
    await page.waitForFunction((title) => document.title.startsWith(title), LANTERN);
    await page.getByLabel('Title of the song').fill('Lantern Row');
    await page.keyboard.press('Enter');
    await done(page, 'title: Lantern Row');
    await toAllSongs(page);
    expect(await listed(page)).toEqual(['Lantern Row', KITES]);
  });

  it('deletes a song when asked twice, its recording too', async () => {
    const recordings = () =>
      page.evaluate(async () => {
        const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('recordings');
        const names: string[] = [];
        for await (const name of folder.keys()) names.push(name);
        return names.length;
      });
    expect(await recordings()).toBe(2);
    await page.getByRole('button', { name: 'Delete Lantern Row' }).click();
    await page.getByRole('button', { name: 'Keep' }).click();
    expect(await listed(page)).toEqual(['Lantern Row', KITES]);
    await page.getByRole('button', { name: 'Delete Lantern Row' }).click();
    await page.getByText('This cannot be undone.').waitFor();
    await page.getByRole('button', { name: 'Delete', exact: true }).click();
    await said(page, '"Lantern Row" was deleted; 1 song left.').waitFor();
    expect(await listed(page)).toEqual([KITES]);
    expect(await recordings()).toBe(1);
    await page.reload();
    await page.locator('bw-song-library li').first().waitFor();
    expect(await listed(page)).toEqual([KITES]);
  });
});
