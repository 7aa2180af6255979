import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { visit, type Visit } from '../support/browser.js';
import { samplePath } from '../support/sample-evidence.js';
import { dropFile, fileAt, mapShown } from '../support/user.js';

// In the pseudo-locale en-XA (Unicode CLDR) every letter of a collected text has an accent: what is plain was not collected.

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit({ language: 'en-XA', guided: true });
  ({ page } = here);
});
afterAll(async () => {
  expect(here.faults).toEqual([]);
  await here.context.close();
});

/** Attributes that are read out or shown. */
const SHOWN = [
  'aria-label',
  'aria-description',
  'aria-valuetext',
  'aria-roledescription',
  'title',
  'placeholder',
  'alt',
];

const FORMATS = ['WAV', 'MP3', 'SVG', 'PNG', 'PDF', 'MusicXML', 'MIDI', 'JAMS', 'CSV', 'WebVTT', 'WebM', 'MP4'];

/** Not of the program's making: names that the song has, and the program's own. Keys are called by what stands on them. */
const NAMES = [
  'Barwright',
  'Kites over Brennick',
  'The Tarn at Wendlow',
  'kites-over-brennick.ogg',
  'no-sound.wav',
  ...FORMATS,
];

/** Chords are written alike in every language. */
const CHORD = /\b(?:[A-G][#b♯♭]?(?:maj|min|dim|aug|sus|m)?\d*(?:b5)?(?:\/[A-G][#b♯♭]?)?|sus\d|maj\d)/g;

/** Words with no accent in what the page shows or reads out now, each with what it stands in. */
async function plainWords(): Promise<string[]> {
  const map = await mapShown(page).catch(() => undefined);
  const names = [...NAMES, ...(map?.sections.map(({ name }) => name).filter((name) => name.length > 1) ?? [])];
  const found = await page.evaluate((attributes) => {
    const texts: string[] = [document.title];
    const walk = (root: ParentNode & Node): void => {
      for (const element of root.querySelectorAll<HTMLElement>('*')) {
        if (element.shadowRoot) walk(element.shadowRoot);
        if (['STYLE', 'SCRIPT', 'KBD', 'NOSCRIPT'].includes(element.tagName)) continue;
        for (const name of attributes) {
          const value = element.getAttribute(name);
          if (value) texts.push(value);
        }
        for (const node of element.childNodes)
          if (node.nodeType === Node.TEXT_NODE && node.textContent?.trim()) texts.push(node.textContent.trim());
      }
    };
    walk(document);
    return texts;
  }, SHOWN);
  const unnamed = (text: string): string =>
    names.reduce((rest, name) => rest.replaceAll(name, ''), text).replace(CHORD, '');
  return [...new Set(found)].filter((text) => /[A-Za-z]{3,}/.test(unnamed(text)));
}

/** Makes the session look at something, without words to find a button by. */
const look = (at: {
  readonly workspace?: 'map' | 'passes' | 'play' | 'chart';
  readonly panel?: 'practice' | 'strum' | 'timing' | 'shapes';
  readonly help?: boolean;
  readonly helpPage?: boolean;
  readonly files?: boolean;
  readonly pages?: 'poster';
}): Promise<void> =>
  page.evaluate((signals) => {
    const view = document.querySelector('bw-app')!.session.view as unknown as Record<string, { value: unknown }>;
    for (const [name, value] of Object.entries(signals)) view[name]!.value = value;
  }, at);

const STATES = [
  ['among passes', { workspace: 'passes' }, 'bw-passes-workspace'],
  ['while playing', { workspace: 'play', panel: 'practice' }, 'bw-play-workspace'],
  ['beside the strum', { panel: 'strum' }, 'bw-play-workspace'],
  ['beside the timing check', { panel: 'timing' }, 'bw-play-workspace'],
  ['beside the shapes', { panel: 'shapes' }, 'bw-play-workspace'],
  ['around the chart', { workspace: 'chart' }, 'bw-chart-workspace svg'],
  ['around the poster', { pages: 'poster' }, 'bw-chart-workspace svg'],
  ['in the panel of files', { workspace: 'map', files: true }, 'bw-files-panel [role=dialog]'],
  ['in the table of keys', { files: false, help: true }, '[role=dialog]'],
  ['in the help', { help: false, helpPage: true }, 'bw-help-page'],
] as const;

describe('nothing is shown that was not collected', () => {
  it('on the first page', async () => {
    await page.locator('bw-start-page [data-act=choose]').waitFor();
    expect(await page.evaluate(() => document.documentElement.lang)).toBe('en-XA');
    expect(await plainWords()).toEqual([]);
  });

  it('in the map of a recording that was just analysed, its doubts and the steps that led to it', async () => {
    await dropFile(page, fileAt(samplePath('kites-over-brennick.ogg')));
    await page.locator('bw-map-view [role=gridcell]').first().waitFor({ timeout: 120_000 });
    await page.locator('bw-doubts li').first().waitFor();
    expect(await plainWords()).toEqual([]);
  });

  it.each(STATES)('%s', async (_, at, shown) => {
    await look(at);
    await page.locator(shown).first().waitFor();
    expect(await plainWords()).toEqual([]);
  });

  it('in the menu, in what an edit is called, and in a message', async () => {
    await look({ helpPage: false });
    await page.locator('bw-song-header [aria-haspopup=menu]').click();
    await page.getByRole('menuitem').first().waitFor();
    expect(await plainWords()).toEqual([]);
    await page.keyboard.press('Escape');
    await page.locator('bw-map-view [role=gridcell]').nth(6).click();
    await page.keyboard.press('2');
    await page.waitForFunction(() => document.querySelector('bw-app')!.session.song.value!.map.locks.length > 0);
    expect(await plainWords()).toEqual([]);
  });

  it('when a file is none, as the worker says it', async () => {
    await dropFile(page, { name: 'no-sound.wav', bytes: new Uint8Array(4000).fill(7) });
    await page.locator('bw-notice-bar p').first().waitFor();
    expect(await plainWords()).toEqual([]);
  });
});
