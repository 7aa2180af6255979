import { afterEach, describe, expect, it } from 'vitest';
import { visit, type Visit } from '../support/browser.js';
import { lanternProject, sampleProject } from '../support/seed.js';
import { audible, chooseButton, chooseFile, downloaded, mapShown, said, songShown } from '../support/user.js';

let here: Visit | undefined;
afterEach(async () => {
  await here?.context.close();
  here = undefined;
});

it('another song is opened from Passes: its own passes are shown, and nothing is thrown', async () => {
  here = await visit();
  const { page } = here;
  await chooseFile(page, chooseButton(page), await sampleProject('tarn-at-wendlow.mp3'));
  await songShown(page);
  await page.evaluate(() => document.querySelector('bw-app')!.session.closeSong());
  await chooseFile(page, chooseButton(page), await sampleProject('kites-over-brennick.ogg'));
  await songShown(page);
  await page.getByRole('tab', { name: 'Passes' }).click();
  await page
    .getByRole('group', { name: 'Section' })
    .getByRole('button', { name: /passes/ })
    .first()
    .click();
  await page.locator('bw-pass-grid [role="gridcell"]').first().waitFor();
  const title = await page.evaluate(async () => {
    const { session } = document.querySelector('bw-app')!;
    const other = session.songs.value.find(({ id }) => id !== session.song.value!.id)!;
    await session.openSong(other.id);
    return other.title;
  });
  expect((await mapShown(page)).title).toBe(title);
  await page
    .getByRole('group', { name: 'Section' })
    .getByRole('button', { name: /passes/ })
    .first()
    .click();
  await page.locator('bw-pass-grid [role="gridcell"]').first().waitFor();
  expect(here.faults).toEqual([]);
});

describe('an error that nothing caught', () => {
  const thrown = 'a screw came loose';

  it('is said with the way to keep the work, once, and the page goes on', async () => {
    here = await visit({ throwing: true });
    const { page } = here;
    await chooseFile(page, chooseButton(page), lanternProject());
    await songShown(page);
    const ways: (() => Promise<unknown>)[] = [
      () => page.evaluate((words) => void setTimeout(() => Promise.reject(new Error(words))), thrown),
      () =>
        page.evaluate((words) => {
          setTimeout(() => {
            throw new Error(words);
          });
        }, thrown),
      // An element that cannot be drawn.
      () =>
        page.evaluate((words) => {
          const grid = document.querySelector('bw-app')!.shadowRoot!;
          const find = (root: ParentNode): (HTMLElement & { requestUpdate(): void }) | undefined => {
            for (const each of root.querySelectorAll<HTMLElement>('*')) {
              if (each.localName === 'bw-song-header') return each as HTMLElement & { requestUpdate(): void };
              const inside = each.shadowRoot && find(each.shadowRoot);
              if (inside) return inside;
            }
            return undefined;
          };
          const header = find(grid)!;
          Object.assign(header, {
            render() {
              delete (header as { render?: unknown }).render;
              throw new Error(words);
            },
          });
          header.requestUpdate();
        }, thrown),
    ];
    for (const way of ways) {
      await way();
      await said(page, `Something went wrong in the page (${thrown}).`).waitFor();
      const file = await downloaded(page, () => page.getByRole('button', { name: 'Save a project file' }).click());
      expect(file.name).toBe('Lantern Road.barwright');
      await said(page, 'Saved as').waitFor();
    }
    await page.getByRole('tab', { name: 'Chart' }).click();
    await page.locator('bw-chart-workspace svg').first().waitFor();
    await page.getByRole('tab', { name: 'Map' }).click();
    await songShown(page);
  });
});

it('a part of the program that is no longer on the server is said; the song and the rest of the page go on', async () => {
  here = await visit();
  const { page } = here;
  await chooseFile(page, chooseButton(page), lanternProject());
  await songShown(page);
  await page.route(/assets\/write-project/, (route) => route.fulfill({ status: 404 }));
  await page.evaluate(() => document.querySelector('bw-app')!.session.saveProject(false));
  await said(page, /A part of Barwright could not be loaded/).waitFor();
  await page.unroute(/assets\/write-project/);
  await page.getByRole('tab', { name: 'Chart' }).click();
  await page.locator('bw-chart-workspace svg').first().waitFor();
});

describe('sound that the system interrupts', () => {
  const playing = (is: boolean) => (): Promise<unknown> =>
    here!.page.waitForFunction((wanted) => document.querySelector('bw-app')!.session.playing.value === wanted, is);

  /** A page whose audio contexts are at hand, with a song that plays. */
  async function songPlaying(): Promise<void> {
    here = await visit();
    await here.context.addInitScript(() => {
      const own = window as unknown as { contexts: AudioContext[] };
      own.contexts = [];
      const Original = AudioContext;
      window.AudioContext = class extends Original {
        constructor(options?: AudioContextOptions) {
          super(options);
          own.contexts.push(this);
        }
      };
    });
    await here.page.reload();
    const { page } = here;
    await chooseFile(page, chooseButton(page), lanternProject());
    await songShown(page);
    await audible(page);
    await page.getByRole('button', { name: 'Play', exact: true }).click();
    await playing(true)();
  }
  const last = (what: 'suspend' | 'close'): Promise<void> =>
    here!.page.evaluate(
      (method) => (window as unknown as { contexts: AudioContext[] }).contexts.at(-1)![method](),
      what,
    );

  it('is said, playing has ended where it was, and one press goes on', async () => {
    await songPlaying();
    const { page } = here!;
    await last('suspend');
    await playing(false)();
    await said(page, /The sound was interrupted/).waitFor();
    await page.getByRole('button', { name: 'Go on from here' }).click();
    await playing(true)();
    await last('suspend');
    await playing(false)();
    await page.getByRole('button', { name: 'Play', exact: true }).click();
    await playing(true)();
    expect(here!.faults).toEqual([]);
  });

  it('and whose device is gone: the recording is read again, and Play plays it', async () => {
    await songPlaying();
    const { page } = here!;
    await last('close');
    await playing(false)();
    await said(page, /The sound stopped/).waitFor();
    await audible(page);
    await page.getByRole('button', { name: 'Play', exact: true }).click();
    await playing(true)();
    expect(here!.faults).toEqual([]);
  });
});
