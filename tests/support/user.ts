import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import type { Locator, Page } from 'playwright-core';
import type { SongMap } from '../../src/model/song-map.js';

/** What a user does on the built page and sees there; for the browser tests and the trial. */

/** A file as it is dropped or chosen. */
export interface GivenFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

export function fileAt(path: string): GivenFile {
  return { name: basename(path), bytes: readFileSync(path) };
}

/** Drops a file on the page, as a file manager does: it hovers first, then it is let go. */
export async function dropFile(page: Page, { name, bytes }: GivenFile): Promise<void> {
  const transfer = await page.evaluateHandle(
    async ([given, base64]) => {
      const data = new DataTransfer();
      const bytes = Uint8Array.from(atob(base64!), (letter) => letter.charCodeAt(0));
      data.items.add(new File([bytes], given!));
      return data;
    },
    [name, Buffer.from(bytes).toString('base64')],
  );
  for (const type of ['dragenter', 'dragover', 'drop'])
    await page.dispatchEvent('body', type, { dataTransfer: transfer });
  await transfer.dispose();
}

/** Presses `button` and gives the file chooser that it opens a file. */
export async function chooseFile(page: Page, button: Locator, { name, bytes }: GivenFile): Promise<void> {
  const chooser = page.waitForEvent('filechooser');
  await button.click();
  await (await chooser).setFiles({ name, mimeType: '', buffer: Buffer.from(bytes) });
}

/** On the start page. */
export const chooseButton = (page: Page): Locator => page.getByRole('button', { name: 'Choose a recording…' });

/** Resolves when a song is open and drawn. */
export async function songShown(page: Page): Promise<void> {
  await page.getByRole('grid', { name: 'Bar map' }).getByRole('gridcell').first().waitFor({ timeout: 120_000 });
}

/** Resolves when the sound of the open song is ready. */
export async function audible(page: Page): Promise<void> {
  await page.locator('bw-transport').getByRole('button', { name: 'Play', exact: true, disabled: false }).waitFor();
}

/** The map of the open song. */
export function mapShown(page: Page): Promise<SongMap> {
  return page.evaluate(() => document.querySelector('bw-app')!.session.song.value!.map);
}

/** The bar of this number in the bar map. */
export function bar(page: Page, number: number): Locator {
  return page.getByRole('gridcell', { name: new RegExp(`^bar ${number},`) });
}

/** Puts the cursor on a beat (1 is the first) of a bar of `beats` beats, by mouse. */
export async function clickBeat(page: Page, number: number, beat: number, beats = 4): Promise<void> {
  const cell = bar(page, number);
  await cell.scrollIntoViewIfNeeded();
  const { width, height } = (await cell.boundingBox())!;
  await cell.click({ position: { x: ((beat - 0.9) * width) / beats, y: height / 2 } });
}

/** Presses twice at a point of the window. */
export async function doubleClick(page: Page, x: number, y: number): Promise<void> {
  if (page.context().browser()?.browserType().name() !== 'firefox') return page.mouse.dblclick(x, y);
  // In Firefox, presses that playwright-core sends one after another never make a double one: its event is made here.
  await page.mouse.click(x, y, { clickCount: 2 });
  await page.evaluate(
    ([clientX, clientY]) => {
      let target = document.elementFromPoint(clientX!, clientY!);
      while (target?.shadowRoot) target = target.shadowRoot.elementFromPoint(clientX!, clientY!);
      target?.dispatchEvent(new MouseEvent('dblclick', { bubbles: true, composed: true, clientX, clientY, detail: 2 }));
    },
    [x, y],
  );
}

/** Resolves when the newest edit is this one, solved and stored. */
export async function done(page: Page, label: string | RegExp): Promise<void> {
  const name = typeof label === 'string' ? `Undo ${label}` : label;
  await page.getByRole('button', { name, exact: typeof label === 'string' }).waitFor();
  await stored(page);
}

/** Resolves when everything is stored. */
export async function stored(page: Page): Promise<void> {
  await page.locator('bw-song-header [data-state="saved"]:visible', { hasText: /^Saved$/ }).waitFor();
}

/** Writes another title over the open song's and presses Enter. The end is typed: what is filled in is no change for Firefox. */
export async function writeTitle(page: Page, title: string): Promise<void> {
  const field = page.getByLabel('Title of the song');
  await field.fill(title.slice(0, -1));
  await field.press('End');
  await page.keyboard.type(title.slice(-1));
  await page.keyboard.press('Enter');
}

/** Takes back every edit, by key. */
export async function undoAll(page: Page): Promise<void> {
  const undo = page.locator('bw-song-header').getByRole('button', { name: /^Undo/ });
  while (await undo.isEnabled()) {
    const label = await undo.getAttribute('aria-label');
    await undo.click();
    await page.locator(`bw-song-header button[aria-label="${label}"]`).waitFor({ state: 'detached' });
  }
  await stored(page);
}

/** What was last said. */
export function said(page: Page, text: string | RegExp): Locator {
  return page.locator('bw-notice-bar p', { hasText: text });
}

/** Runs a command from the menu. */
export async function fromMenu(page: Page, item: string): Promise<void> {
  await page.getByRole('button', { name: 'Menu' }).click();
  await page.getByRole('menuitem', { name: item }).click();
}

/** Runs a command of the menu that hands over a file. */
export async function saved(page: Page, item: string): Promise<GivenFile> {
  return downloaded(page, () => fromMenu(page, item));
}

/** What is handed over when something is done. */
export async function downloaded(page: Page, act: () => Promise<void>): Promise<GivenFile> {
  // Firefox takes longer than half a minute for a clip.
  const download = page.waitForEvent('download', { timeout: 120_000 });
  await act();
  const file = await download;
  const pieces: Uint8Array[] = [];
  for await (const piece of await file.createReadStream()) pieces.push(piece as Uint8Array);
  return { name: file.suggestedFilename(), bytes: Buffer.concat(pieces) };
}

/** Back to the start page. */
export async function toAllSongs(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'All songs' }).click();
  await chooseButton(page).waitFor();
}

/** Opens a song from the list of those kept. */
export async function openKept(page: Page, title: string): Promise<void> {
  await page
    .locator('bw-song-library')
    .getByRole('button', { name: new RegExp(`^${title} `) })
    .click();
  await songShown(page);
}
