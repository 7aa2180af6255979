import type { Locator, Page } from 'playwright-core';
import { beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Session } from '../../src/app/kit/session.js';
import { startHarness } from '../support/harness.js';
import { doubleClick } from '../support/user.js';

declare global {
  interface Window {
    session: Session & { readonly log: string[] };
    /** Renders of the map and nodes changed below it since the last reset. */
    counted: { renders: number; changed: Set<Node> };
  }
}

let page: Page;
let site: string;
beforeAll(async () => ({ page, site } = await startHarness()));

async function open(width: number, height: number, song = 'drift'): Promise<void> {
  await page.setViewportSize({ width, height });
  await page.goto(`${site}tests/browser/harness/map.html?song=${song}`);
  await bar(5).waitFor();
}

const bar = (index: number): Locator => page.locator(`bw-map-view [data-bar="${index}"]`);
const width = async (index: number): Promise<number> => (await bar(index).boundingBox())!.width;
const view = () =>
  page.evaluate(() => ({ cursor: window.session.view.cursor.value, selection: window.session.view.selection.value }));
const log = (): Promise<string[]> => page.evaluate(() => window.session.log.splice(0));
/** Start of a beat of a bar on the harness's map. */
const beatTime = (index: number, beat = 0): Promise<number> =>
  page.evaluate(
    ([i, k]) => {
      const bars = window.session.song.value!.map.spans.filter((span) => span.kind === 'bar');
      return bars[i!]!.beats[k!]!;
    },
    [index, beat],
  );
/** Counts from here on. */
const count = (): Promise<void> =>
  page.evaluate(() => {
    const view = document.querySelector('bw-map-workspace')!.shadowRoot!.querySelector('bw-map-view')!;
    const counted = { renders: 0, changed: new Set<Node>() };
    window.counted = counted;
    new MutationObserver((records) => records.forEach(({ target }) => counted.changed.add(target))).observe(
      view.shadowRoot!,
      { subtree: true, childList: true, attributes: true, characterData: true },
    );
    const host = view as unknown as { update(changed: unknown): void };
    const update = host.update.bind(view);
    host.update = (changed) => {
      counted.renders++;
      update(changed);
    };
  });

describe('the bar map', () => {
  beforeEach(() => open(1280, 700));

  it('draws a bar of 2 half as wide as a bar of 4, and 7/8 three and a half beats wide', async () => {
    const four = await width(5);
    expect(await width(8)).toBeCloseTo(four / 2, 1);
    expect(await width(37)).toBeCloseTo((four * 6) / 4, 1);
    expect(await width(45)).toBeCloseTo((four * 7) / 8, 1);
  });

  it('lines up the bar lines of its rows until an irregular bar throws them out', async () => {
    const left = async (index: number): Promise<number> => (await bar(index).boundingBox())!.x;
    expect(await left(15)).toBeCloseTo(await left(23), 1);
    expect(await left(16)).toBeCloseTo(await left(24), 1);
    expect((await left(17)) - (await left(25))).toBeCloseTo((await width(5)) / 2, 1);
  });

  it('is a grid of named cells with one tab stop that goes with the cursor', async () => {
    expect(await bar(8).getAttribute('aria-label')).toBe('bar 8, 2 beats, irregular, G, locked');
    await bar(6).click({ position: { x: 3, y: 30 } });
    expect(await page.locator('bw-map-view [tabindex="0"]').count()).toBe(1);
    await page.evaluate(() => {
      const { commands } = window.session;
      return commands.find(({ id }) => id === 'bar-on')!.run(window.session);
    });
    await page.waitForFunction(() => {
      let focused = document.activeElement;
      while (focused?.shadowRoot?.activeElement) focused = focused.shadowRoot.activeElement;
      return focused?.getAttribute('data-bar') === '7';
    });
  });

  it('puts the cursor on the very beat under the pointer, scrolled and magnified too', async () => {
    for (const [index, beat, zoom] of [
      [6, 0, 1],
      [6, 3, 1],
      [29, 2, 1],
      [45, 6, 1],
      [33, 3, 1.75],
      [53, 1, 0.8],
    ] as const) {
      await page.evaluate((factor) => {
        document.body.style.zoom = String(factor);
        return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
      }, zoom);
      await bar(index).scrollIntoViewIfNeeded();
      const box = (await bar(index).boundingBox())!;
      const beats = await page.evaluate((i) => {
        const bars = window.session.song.value!.map.spans.filter((span) => span.kind === 'bar');
        return bars[i]!.beats.length;
      }, index);
      // Just after the beat's own line, where a rounding would land on the beat before.
      await page.mouse.click(box.x + (box.width * (beat + 0.08)) / beats, box.y + box.height / 2);
      expect([index, beat, (await view()).cursor]).toEqual([index, beat, await beatTime(index, beat)]);
    }
  });

  it('selects by dragging and by shift, and plays from a bar by double click', async () => {
    const [from, to] = [(await bar(13).boundingBox())!, (await bar(16).boundingBox())!];
    await page.mouse.move(from.x + 20, from.y + 20);
    await page.mouse.down();
    await page.mouse.move(to.x + 20, to.y + 20, { steps: 6 });
    await page.mouse.up();
    expect(await view()).toEqual({ cursor: await beatTime(13), selection: { first: 13, last: 16 } });
    await bar(6).click();
    expect((await view()).selection).toBeUndefined();
    await bar(9).click({ modifiers: ['Shift'] });
    expect((await view()).selection).toEqual({ first: 6, last: 9 });
    await log();
    await bar(18).scrollIntoViewIfNeeded();
    const { x, y, width, height } = (await bar(18).boundingBox())!;
    await doubleClick(page, x + width / 2, y + height / 2);
    expect((await log())[0]).toBe(`play ${(await beatTime(18)).toFixed(2)}`);
  });

  it('does not render while playing: it touches the bars that sound and nothing else', async () => {
    const [from, to] = [await beatTime(6, 1), await beatTime(7, 2)];
    await count();
    await page.evaluate((times) => window.session.play(...times), [from, to] as const);
    await page.locator('bw-map-view [data-bar="7"][style*="--sx: 2"]').waitFor();
    const seen = await page.evaluate(() => {
      const { renders, changed } = window.counted;
      return { renders, bars: [...changed].map((node) => (node as HTMLElement).dataset['bar']).sort() };
    });
    expect(seen).toEqual({ renders: 0, bars: ['6', '7'] });
    const sounding = page.locator('bw-map-view [data-sounding]');
    expect(await sounding.count()).toBe(1);
    await page.evaluate(() => window.session.stop());
    expect(await sounding.count()).toBe(0);
  });

  it('keeps the sounding bar in view, and lets go when the user scrolls away', async () => {
    const scroll = (): Promise<number> =>
      page.locator('bw-map-workspace .map').evaluate((element) => element.scrollTop);
    const inView = (index: number): Promise<boolean> =>
      bar(index).evaluate((cell) => {
        const port = cell.getRootNode() as ShadowRoot;
        const box = port.host.parentElement!.getBoundingClientRect();
        const own = cell.getBoundingClientRect();
        return own.top >= box.top && own.bottom <= box.bottom;
      });
    expect(await inView(53)).toBe(false);
    const sounding = (index: number): Promise<void> =>
      page.locator(`bw-map-view [data-bar="${index}"][data-sounding]`).waitFor();
    await page.evaluate((times) => window.session.play(...times), [
      await beatTime(53, 3),
      await beatTime(54, 1),
    ] as const);
    await sounding(54);
    expect(await inView(54)).toBe(true);
    await page.locator('bw-map-workspace .map').evaluate((element) => (element.scrollTop = 0));
    // Playing on, without a new start, which would bring the place into view again.
    await page.evaluate(([from, to]) => window.session.play(from, to), [await beatTime(54, 1), await beatTime(55, 1)]);
    await sounding(55);
    expect(await scroll()).toBe(0);
    await page.evaluate(() => window.session.stop());
  });

  it('draws again only the row that an edit changed', async () => {
    await count();
    await page.evaluate(() => {
      let number = 0;
      return window.session.edit('test', (map) => ({
        ...map,
        spans: map.spans.map((span) => (span.kind === 'bar' && number++ === 14 ? { ...span, confidence: 0.2 } : span)),
      }));
    });
    await page.waitForFunction(() => window.counted.changed.size > 0);
    const rows = await page.evaluate(() => {
      const rowOf = (node: Node): Element | null => (node as Element).closest?.('.row') ?? null;
      return [...new Set([...window.counted.changed].map(rowOf))].map((row) => row?.getAttribute('aria-label'));
    });
    // The harness says bars 3 to 5 changed, which lie in the intro and the first verse; bar 14 is in the first chorus.
    expect(rows.map((label) => label?.split(',')[0]).sort()).toEqual(['A Verse', 'B Chorus', 'I Intro']);
    expect(await bar(14).getAttribute('class')).toContain('unsure');
    expect(await bar(4).getAttribute('class')).toMatch(/changed-[ab]/);
  });
});

describe('beside the map', () => {
  beforeEach(() => open(1280, 900));

  it('doubts are heard and settled one by one until none is left', async () => {
    const lines = page.locator('bw-doubts li');
    expect(await page.locator('bw-doubts [role="status"]').innerText()).toBe('2 left');
    await lines.first().getByRole('button', { name: 'Hear bar 11' }).click();
    expect(await log()).toEqual(['hear 0']);
    await lines.first().getByRole('button', { name: '2 beats' }).click();
    await page.getByText('1 left').waitFor();
    await lines.first().getByRole('button', { name: 'Hear bar 36' }).click();
    await lines.first().getByRole('button', { name: 'is right' }).click();
    await page.getByText('No doubts left.').waitFor();
    expect(await log()).toEqual(['decide 0 other', 'hear 0', 'decide 0 keep']);
  });

  it('the bar panel sets lengths and signatures of the bar under the cursor', async () => {
    await bar(6).click();
    await page.locator('bw-bar-inspector').getByRole('button', { name: '2 beats', exact: true }).click();
    expect(await log()).toEqual(['edit bar 6: 2 beats']);
    const field = page.locator('bw-bar-inspector').getByLabel('Time signature');
    await field.fill('7/8 (2+2)');
    await page.getByText('must add up to 7').waitFor();
    await field.fill('7/8 (2+2+3)');
    await field.press('Enter');
    expect(await log()).toEqual(['edit bar 6: 7/8 (2+2+3)']);
  });

  it('selected bars are named, and sections accepted, renamed and split', async () => {
    const tools = page.locator('bw-section-tools');
    await bar(31).click();
    await tools.getByRole('button', { name: 'Accept', exact: true }).click();
    await tools.getByRole('button', { name: 'Split here' }).click();
    await tools.getByRole('button', { name: 'Rename' }).click();
    await page.keyboard.type('Refrain');
    await page.keyboard.press('Enter');
    await bar(34).click({ modifiers: ['Shift'] });
    await tools.getByRole('button', { name: 'Solo' }).click();
    expect(await log()).toEqual([
      'edit Chorus accepted',
      'edit a section starts at bar 31',
      'edit Chorus is called Refrain',
      'edit bars 31 to 34: Solo',
    ]);
    expect(await page.getByRole('rowgroup', { name: /Solo/ }).count()).toBe(1);
  });
});

describe('on a phone', () => {
  beforeEach(() => open(360, 720));

  it('nothing is wider than the screen, and sheets leave half of it to the map', async () => {
    const sheets = page.getByRole('group', { name: 'Shown under the map' });
    for (const name of [/^Doubts/, /^Pickup/, /Intro$/]) {
      await sheets.getByRole('button', { name }).click();
      const map = (await page.locator('bw-map-workspace .map').boundingBox())!;
      expect(map.height).toBeGreaterThan(300);
      const wide = await page
        .locator('bw-map-workspace .map, bw-map-workspace .sheet')
        .evaluateAll((boxes) => boxes.filter((box) => box.scrollWidth > box.clientWidth));
      expect(wide).toEqual([]);
    }
  });

  it('a finger selects by dragging along a line', async () => {
    const [from, to] = [(await bar(5).boundingBox())!, (await bar(7).boundingBox())!];
    // Only a pointer that is there can be captured, and browsers count theirs differently.
    const there = page.evaluate(
      () =>
        new Promise<number>((told) =>
          addEventListener('pointermove', (event) => told(event.pointerId), { once: true }),
        ),
    );
    await page.mouse.move(5, 5);
    await page.mouse.move(6, 6);
    const pointerId = await there;
    await page.evaluate(
      ([x0, x1, y, pointerId]) => {
        const view = document.querySelector('bw-map-workspace')!.shadowRoot!.querySelector('bw-map-view')!;
        const grid = view.shadowRoot!.querySelector('.grid')!;
        const send = (type: string, x: number): void => {
          const at = view.shadowRoot!.elementFromPoint(x, y!) ?? grid;
          const options = {
            bubbles: true,
            composed: true,
            pointerId,
            pointerType: 'touch',
            clientX: x,
            clientY: y!,
          };
          at.dispatchEvent(new PointerEvent(type, { ...options, button: type === 'pointermove' ? -1 : 0 }));
        };
        send('pointerdown', x0!);
        send('pointermove', (x0! + x1!) / 2);
        send('pointermove', x1!);
        send('pointerup', x1!);
      },
      [from.x + 20, to.x + 20, from.y + 25, pointerId],
    );
    expect((await view()).selection).toEqual({ first: 5, last: 7 });
  });
});
