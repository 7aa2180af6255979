import type { Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { EXPORT_KINDS } from '../../src/export/export-kinds.js';
import { makeExport } from '../../src/export/make-export.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { browser, visit, type Visit } from '../support/browser.js';
import { jamsFaults, type Jams } from '../support/jams-schema.js';
import { clicks, wav } from '../platform/decode/signals.js';
import { LANTERN_ROAD, lanternProject, lanternRecording, sampleProject } from '../support/seed.js';
import {
  audible,
  bar,
  chooseButton,
  chooseFile,
  clickBeat,
  done,
  downloaded,
  fromMenu,
  mapShown,
} from '../support/user.js';
import { openKept, said, saved, songShown, toAllSongs, undoAll, writeTitle } from '../support/user.js';

declare global {
  interface Window {
    /** What the progress bar said since the test began to listen. */
    tasks: string[];
  }
}

const KITES = 'Kites over Brennick';
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

const focused = (button: Locator): Promise<boolean> =>
  button.evaluate((element) => (element.getRootNode() as ShadowRoot).activeElement === element);
/** The page to share, opened without a connection and without scripts. */
async function opensAnywhere(html: string): Promise<void> {
  const context = await (await browser()).newContext({ offline: true, javaScriptEnabled: false });
  const page = await context.newPage();
  const faults: string[] = [];
  page.on('console', (message) => faults.push(message.text()));
  page.on('request', (request) => void (request.url().startsWith('data:') || faults.push(request.url())));
  await page.goto(`data:text/html;charset=utf-8;base64,${Buffer.from(html).toString('base64')}`);
  await page.getByRole('heading', { name: LANTERN_ROAD }).waitFor();
  await page.getByRole('img', { name: new RegExp(LANTERN_ROAD) }).waitFor();
  expect(await page.getByRole('row').count()).toBeGreaterThan(1);
  expect(faults.filter((fault) => !fault.startsWith('data:'))).toEqual([]);
  await context.close();
}

const listed = (page: Page): Promise<string[]> => page.locator('bw-song-library li b').allInnerTexts();

describe('what a song is handed over as', () => {
  it('JAMS: valid by its published schema, with the bars and sections shown', async () => {
    const page = await freshPage();
    await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg'));
    await songShown(page);
    await mark(page, 24, 27);
    const map = await mapShown(page);
    const file = await saved(page, 'Export as JAMS (music annotation)');
    expect(file.name).toBe(`${KITES}.jams`);
    const jams = JSON.parse(new TextDecoder().decode(file.bytes)) as Jams;
    expect(jamsFaults(jams)).toEqual([]);
    expect(jams.file_metadata.title).toBe(KITES);
    const of = (namespace: string) => jams.annotations.find((each) => each.namespace === namespace)!.data;
    const ones = of('beat_position').filter(({ value }) => (value as { position: number }).position === 1);
    const starts = barsOf(map).filter((each) => each.pickup !== true);
    expect(ones.map(({ time }) => time)).toEqual(starts.map(({ start }) => expect.closeTo(start, 3) as number));
    expect(of('segment_open').map(({ value }) => value)).toContain('Tag');
  });

  it('every file of the panel "Export" with one press, reached by the keyboard', async () => {
    const page = await freshPage();
    await chooseFile(page, chooseButton(page), lanternProject());
    await songShown(page);
    const map = await mapShown(page);
    for (const kind of EXPORT_KINDS) {
      await page.getByRole('button', { name: 'Export', exact: true }).focus();
      await page.keyboard.press('Enter');
      const panel = page.getByRole('dialog', { name: 'Export and import' });
      await panel.locator('button.file:focus').waitFor();
      const chosen = panel.getByRole('button', { name: kind.label });
      for (let steps = 0; steps < 20 && !(await focused(chosen)); steps++) await page.keyboard.press('ArrowDown');
      const file = await downloaded(page, () => page.keyboard.press('Enter'));
      expect(file.name).toBe(`${LANTERN_ROAD}${kind.ending}`);
      const text = new TextDecoder().decode(file.bytes);
      // The page brings its faces along, the drawing draws its letters.
      if (kind.id === 'html') expect(text).toContain('@font-face');
      else if (kind.id === 'svg') expect(text).toContain(`<g aria-label="${LANTERN_ROAD}"><path `);
      else expect(Buffer.from(makeExport(kind.id, map).data as Uint8Array).equals(file.bytes)).toBe(true);
      if (kind.id === 'html') {
        await opensAnywhere(text);
        await page.bringToFront();
      }
      await said(page, `Exported as "${LANTERN_ROAD}${kind.ending}".`).waitFor();
    }
  });

  it('and takes over times worked out elsewhere, pasted or from a file, asking before it replaces what was decided', async () => {
    const page = await freshPage();
    await chooseFile(page, chooseButton(page), lanternProject());
    await songShown(page);
    const before = await mapShown(page);
    const line = barsOf(before)[3]!.start;
    const panel = page.getByRole('dialog', { name: 'Export and import' });
    await fromMenu(page, 'Export and import…');
    await panel.getByLabel('Times, a line each').fill('here\nthere');
    await panel.getByRole('button', { name: 'Take over these times' }).click();
    await page.getByRole('alert').filter({ hasText: 'Line 1: found "here"' }).waitFor();
    expect(await mapShown(page)).toEqual(before);

    await fromMenu(page, 'Export and import…');
    const lines = [0, 1, 2, 3].map((i) => line + 1.7 * i);
    await panel.getByLabel('Times, a line each').fill(lines.join('\n'));
    await panel.getByLabel('The times of a plain list are').selectOption('bars');
    await panel.getByRole('button', { name: 'Take over these times' }).click();
    await done(page, '4 bar lines from a list of bars');
    const starts = barsOf(await mapShown(page)).map(({ start }) => start);
    for (const time of lines) expect(starts).toContainEqual(expect.closeTo(time, 5));

    const list = {
      name: 'others.txt',
      bytes: new TextEncoder().encode(
        lines
          .slice(1)
          .map((time) => `${time + 0.2}\n`)
          .join(''),
      ),
    };
    await fromMenu(page, 'Export and import…');
    await chooseFile(page, panel.getByRole('button', { name: 'Choose a file…' }), list);
    await said(page, 'would replace what you decided').waitFor();
    expect(barsOf(await mapShown(page)).map(({ start }) => start)).toEqual(starts);
    await page.getByRole('button', { name: 'Replace and take over' }).click();
    await done(page, '3 bar lines from a list of bars');
    await undoAll(page);
    expect(await mapShown(page)).toEqual(before);
  });

  describe('a project', () => {
    let page: Page;
    let map: SongMap;
    beforeAll(async () => {
      page = await freshPage();
      await chooseFile(page, chooseButton(page), lanternProject());
      await songShown(page);
      await clickBeat(page, 2, 1);
      await page.keyboard.press('3');
      await done(page, 'bar 2: 3 beats');
      await mark(page, 7, 8);
      map = await mapShown(page);
    });

    it('with its recording: in a fresh browser it is the same song, can be heard and undone', async () => {
      const whole = await saved(page, 'Save as a project file, with the recording');
      expect(whole.name).toBe(`${LANTERN_ROAD}.barwright`);
      const other = await freshPage();
      await chooseFile(other, chooseButton(other), whole);
      await songShown(other);
      expect(await mapShown(other)).toEqual(map);
      await audible(other);
      await other.getByRole('button', { name: 'Undo bars 7 to 8: Tag' }).click();
      await other.getByRole('button', { name: 'Undo bar 2: 3 beats' }).click();
      await other.getByRole('button', { name: 'Undo', exact: true }).waitFor();
      expect(await bar(other, 2).getAttribute('aria-label')).toMatch(/^bar 2, 4 beats/);
      // It is solved with its own evidence, as before.
      await clickBeat(other, 2, 1);
      await other.keyboard.press('2');
      await done(other, 'bar 2: 2 beats');
    });

    it('without its recording: it asks for that, takes the right file and no other', async () => {
      const bare = await saved(page, 'Save as a project file, without the recording');
      const { name, bytes } = lanternRecording();
      expect(bare.bytes.length).toBeLessThan(bytes.length / 4);
      const other = await freshPage();
      await chooseFile(other, chooseButton(other), bare);
      await songShown(other);
      await said(other, `Choose "${name}" to hear it.`).waitFor();
      expect(await other.locator('bw-transport').getByRole('button', { name: 'Play' }).isDisabled()).toBe(true);
      const wrong = { name: 'clicks.wav', bytes: wav({ rate: 8000, channels: [clicks(8000, 6)] }) };
      await chooseFile(
        other,
        other.locator('bw-notice-bar').getByRole('button', { name: 'Choose the recording' }),
        wrong,
      );
      const refusal = `"clicks.wav" (6 seconds) is not the recording of "${LANTERN_ROAD}"`;
      await other.getByRole('alert').filter({ hasText: refusal }).waitFor();
      expect(await mapShown(other)).toEqual(map);

      const chooser = other.waitForEvent('filechooser');
      await fromMenu(other, 'Choose the recording of this song…');
      await (await chooser).setFiles({ name: 'renamed.wav', mimeType: '', buffer: Buffer.from(bytes) });
      await said(other, `"${LANTERN_ROAD}" has its recording now.`).waitFor();
      await audible(other);
      expect(await mapShown(other)).toEqual(map);
    });
  });
});

/** Makes the bars a section called Tag, by keys. */
async function mark(page: Page, first: number, last: number): Promise<void> {
  await clickBeat(page, first, 1);
  await bar(page, last).click({ modifiers: ['Shift'] });
  await page.keyboard.press('n');
  await page.getByLabel(`Name for bars ${first} to ${last}`).fill('Tag');
  await page.keyboard.press('Enter');
  await done(page, `bars ${first} to ${last}: Tag`);
}

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
    await chooseFile(page, chooseButton(page), lanternProject());
    await songShown(page);
    await toAllSongs(page);
  });

  it('lists the songs, the last one changed first', async () => {
    expect(await listed(page)).toEqual([LANTERN_ROAD, KITES]);
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
    expect(await listed(page)).toEqual([KITES, LANTERN_ROAD]);
  });

  it('gives a song another name, which can be undone in the song', async () => {
    await page.getByRole('button', { name: `Rename ${LANTERN_ROAD}` }).click();
    await page.getByLabel('New title').fill('Lantern Lane');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Rename Lantern Lane' }).waitFor();
    await openKept(page, 'Lantern Lane');
    await done(page, 'title: Lantern Lane');
    await page.keyboard.press('Control+z');
    await page.waitForFunction((title) => document.title.startsWith(title), LANTERN_ROAD);
    await writeTitle(page, 'Lantern Row');
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
