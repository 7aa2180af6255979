import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { readProject } from '../../src/project/read-project.js';
import { writeProject } from '../../src/project/write-project.js';
import { browser, visit, type Visit } from '../support/browser.js';
import { lanternProject } from '../support/seed.js';
import { downloaded, dropFile, songShown, toAllSongs, writeTitle, type GivenFile } from '../support/user.js';

/** What those who want to do harm, or a cat on the keyboard, call a song, a section, a line for it, an arrangement. */
const HARM = `<img src=x onerror="window.harmed=1"><script>window.harmed=1</script></textarea></title>'"{{harm}}\${1}`;
const TEXTS: Readonly<Record<string, string>> = {
  markup: HARM,
  'one long word': `x${'𝄞'.repeat(38)}`,
  'turned about': `\u202eabc\u2066 שלום\u0000\r\n\u2028 👩‍🎤🏳️‍🌈`,
};

let here: Visit;
let page: Page;
beforeAll(async () => {
  here = await visit();
  ({ page } = here);
  page.setDefaultTimeout(20_000);
});
afterAll(async () => {
  expect(here.faults).toEqual([]);
  await here.context.close();
});

/** A project in which everything that has a name has this one. */
function projectCalled(text: string, longest: string): GivenFile {
  const { project } = readProject(new Uint8Array(lanternProject().bytes));
  const { map } = project;
  const sections = map.sections.map((section) => ({ ...section, name: text, letter: 'A', cue: text.slice(0, 200) }));
  const chords = [{ time: map.start + 0.5, harte: text.slice(0, 200), origin: 'user', confidence: 1 } as const];
  const arrangements = [{ id: 'a', name: text, items: sections.map(({ start }) => ({ time: start })) }];
  const named = { ...map, title: longest, sections, chords, arrangements };
  const recording = { ...map.recording, fileName: `${text}.wav` };
  const pieces = writeProject({ ...project, history: undefined, map: { ...named, recording } } as typeof project);
  return { name: `${text.slice(0, 60)}.barwright`, bytes: Buffer.concat(pieces) };
}

/** Nothing of the text became part of the page, ran, or pushed the page wider than the screen. */
async function harmless(where: string): Promise<void> {
  const found = await page.evaluate(() => {
    const strange: string[] = [];
    const look = (root: Document | ShadowRoot): void => {
      for (const element of root.querySelectorAll('*')) {
        if (element.localName === 'script' && element.getRootNode() !== document) strange.push('a script');
        if (element.localName === 'img' && (element as HTMLImageElement).src.endsWith('/x')) strange.push('a picture');
        for (const { name } of element.attributes)
          if (name.startsWith('on')) strange.push(`${element.localName} ${name}`);
        if (isWider && element.getBoundingClientRect().right > clientWidth + 1) wider.push(nameOf(element));
        if (element.shadowRoot) look(element.shadowRoot);
      }
    };
    const { scrollWidth, clientWidth } = document.documentElement;
    const isWider = scrollWidth > clientWidth;
    const wider: string[] = [];
    const nameOf = (element: Element): string =>
      `${(element.getRootNode() as ShadowRoot).host?.localName ?? ''} ${element.localName}.${element.getAttribute('class') ?? ''}`;
    look(document);
    // What lies farther in says it best.
    return { strange, ran: 'harmed' in window, wider: isWider ? ['the page', ...wider.slice(-6)] : [] };
  });
  expect.soft(found, where).toEqual({ strange: [], ran: false, wider: [] });
}

async function everywhere(what: string): Promise<void> {
  for (const size of [
    { width: 1280, height: 800 },
    { width: 390, height: 844 },
  ]) {
    await page.setViewportSize(size);
    for (const workspace of ['passes', 'play', 'chart', 'map'] as const) {
      await page.evaluate((name) => {
        document.querySelector('bw-app')!.session.view.workspace.value = name;
      }, workspace);
      await page.locator(`bw-${workspace}-workspace`).waitFor();
      if (workspace === 'chart') await page.locator('bw-chart-workspace svg').first().waitFor();
      await harmless(`${what}, ${workspace}, ${size.width}`);
    }
  }
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.emulateMedia({ media: 'print' });
  await harmless(`${what}, printed`);
  await page.emulateMedia({ media: 'screen' });
}

/** Opens a file made for others by itself, with scripts allowed, as whoever gets it does. */
async function openedAlone({ bytes }: GivenFile, type: string): Promise<void> {
  const context = await (await browser()).newContext();
  const other = await context.newPage();
  const asked: string[] = [];
  other.on('request', (request) => void (request.url().startsWith('data:') || asked.push(request.url())));
  await other.goto(`data:${type};base64,${Buffer.from(bytes).toString('base64')}`);
  const found = await other.evaluate(() => ({
    harm: document.querySelectorAll('script, img, textarea, [onerror]').length,
    ran: 'harmed' in window,
    drawn: document.querySelectorAll('svg :is(text, [aria-label])').length > 5,
  }));
  expect({ ...found, asked }).toEqual({ harm: 0, ran: false, drawn: true, asked: [] });
  await context.close();
}

const exported = (kind: RegExp): Promise<GivenFile> =>
  downloaded(page, async () => {
    await page.getByRole('button', { name: 'Export', exact: true }).click();
    await page.getByRole('dialog', { name: 'Export and import' }).getByRole('button', { name: kind }).click();
  });

it.each(Object.entries(TEXTS))('texts of a project (%s) stay texts wherever they are shown', async (what, text) => {
  await dropFile(page, projectCalled(text, text.repeat(Math.floor(1900 / text.length))));
  await songShown(page);
  await harmless(`${what}, its notice`);
  await everywhere(what);
  await openedAlone(await exported(/^Page to share/), 'text/html;charset=utf-8');
  await openedAlone(await exported(/\(SVG\)/), 'image/svg+xml');
  await toAllSongs(page);
  await harmless(`${what}, the list of songs`);
});

it('texts that are typed stay texts, too, and so do files of such names', async () => {
  await dropFile(page, lanternProject());
  await songShown(page);
  await writeTitle(page, `${HARM} ${'long '.repeat(2000)}long`);
  await page.waitForFunction((start) => document.title.startsWith(start), HARM.slice(0, 20));
  await page.evaluate(
    (text) => document.querySelector('bw-app')!.session.say({ kind: 'error', text }),
    HARM + 'x'.repeat(3000),
  );
  await everywhere('typed');
  await dropFile(page, { name: `${HARM}.wav`, bytes: new Uint8Array(50) });
  await page.getByRole('alert').filter({ hasText: 'onerror' }).waitFor();
  await harmless('a file that is refused');
});
