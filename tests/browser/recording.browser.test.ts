import type { Page } from 'playwright-core';
import { beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { startHarness } from '../support/harness.js';
import { doubleClick } from '../support/user.js';
import type { Handles } from './harness/app.js';

declare const handles: Handles;

let page: Page;
beforeAll(async () => {
  const harness = await startHarness({ width: 1000, height: 760 });
  ({ page } = harness);
  await page.goto(`${harness.site}tests/browser/harness/app.html`);
  await page.waitForFunction(() => typeof handles !== 'undefined' && handles.closeUp()?.draws > 0);
});

// One page for all: each test begins where a song just opened begins.
beforeEach(() => page.evaluate(() => handles.reset()));

/** Where a moment lies on the page: x in CSS pixels, y in the middle of the close-up's waveform. */
async function at(time: number): Promise<{ x: number; y: number }> {
  return page.evaluate((moment) => {
    const box = handles.closeUp().getBoundingClientRect();
    const { from, span } = handles.session.view.window.value;
    return { x: box.left + ((moment - from) / span) * box.width, y: box.top + box.height * 0.55 };
  }, time);
}

/** Starts of the bars, pickup first; the harness's song has beats of 0.63 s. */
const starts = (): Promise<number[]> =>
  page.evaluate(() =>
    handles.session.song.value!.map.spans.filter((span) => span.kind === 'bar').map((span) => span.start),
  );
const view = () =>
  page.evaluate(() => {
    const { cursor, selection, window } = handles.session.view;
    return { cursor: cursor.value, selection: selection.value, window: window.value };
  });
const drawn = (): Promise<number> => page.evaluate(() => handles.closeUp().draws);

describe('the close-up', () => {
  it('draws nothing while the sound crosses it: only the playhead moves', async () => {
    await page.evaluate(() => handles.session.play(3));
    await page.waitForFunction(() => handles.session.position() > 3.2);
    const before = await drawn();
    const head = () =>
      page.evaluate(() => handles.closeUp().shadowRoot!.querySelector<HTMLElement>('.head')!.style.transform);
    const first = await head();
    await page.waitForFunction(() => handles.session.position() > 5);
    expect(await drawn()).toBe(before);
    expect(await head()).not.toBe(first);
  });

  it('draws once however often its window changes before the next frame', async () => {
    const before = await drawn();
    await page.evaluate(async () => {
      for (let i = 0; i < 20; i += 1) handles.session.view.window.value = { from: i, span: 20 };
      await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
    });
    expect((await drawn()) - before).toBe(1);
  });

  it('turns the page when the sound comes to its end', async () => {
    await page.evaluate(() => handles.session.play(17));
    await page.waitForFunction(() => handles.session.view.window.value.from > 10);
    expect((await view()).window.span).toBe(20);
  });

  it('takes a click as the place, on the beat when it is near one, and a double click as play from the bar', async () => {
    const [, , second = 0, third = 0] = await starts();
    const near = await at(second);
    await page.mouse.click(near.x + 5, near.y);
    expect((await view()).cursor).toBeCloseTo(second, 6);
    const between = await at(second + 0.3);
    await page.mouse.click(between.x, between.y);
    expect((await view()).cursor).toBeCloseTo(second + 0.3, 1);
    const inBar = await at((second + third) / 2 + 0.1);
    await doubleClick(page, inBar.x, inBar.y);
    expect(await page.evaluate(() => handles.session.log.filter((line) => line.startsWith('play')))).toContain(
      `play ${second.toFixed(2)}`,
    );
  });

  it('selects bars by a drag with shift', async () => {
    const all = await starts();
    const from = await at((all[2] ?? 0) + 0.4);
    const to = await at((all[4] ?? 0) + 0.4);
    await page.keyboard.down('Shift');
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 4 });
    await page.mouse.up();
    await page.keyboard.up('Shift');
    expect((await view()).selection).toEqual({ first: 2, last: 4 });
  });

  it('scrolls by wheel and zooms around the pointer by wheel with Ctrl', async () => {
    const place = await at(8);
    await page.mouse.move(place.x, place.y);
    await page.mouse.wheel(0, 200);
    await page.waitForFunction(() => handles.session.view.window.value.from > 3.9);
    const before = (await view()).window;
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -300);
    await page.keyboard.up('Control');
    await page.waitForFunction((span) => handles.session.view.window.value.span < span, before.span);
    const after = (await view()).window;
    const share = place.x / 1000;
    expect(after.span).toBeCloseTo(before.span / 2, 6);
    expect(after.from + share * after.span).toBeCloseTo(before.from + share * before.span, 2);
  });

  it('moves a beat line by a drag and locks it there; Escape calls the drag off', async () => {
    const [, , second = 0] = await starts();
    const line = await at(second);
    const target = await at(second + 0.2);
    const press = async (): Promise<void> => {
      await page.mouse.move(line.x, line.y);
      await page.mouse.down();
      await page.mouse.move(target.x, target.y, { steps: 4 });
    };
    const locks = () =>
      page.evaluate(() => handles.session.song.value!.map.locks.filter((lock) => lock.kind === 'beat'));
    const before = (await locks()).length;
    await page.evaluate(() => handles.closeUp().shadowRoot!.querySelector<HTMLElement>('.stage')!.focus());
    await press();
    await page.keyboard.press('Escape');
    await page.mouse.up();
    expect(await locks()).toHaveLength(before);
    await press();
    await page.mouse.up();
    await page.waitForFunction(
      (count) => handles.session.song.value!.map.locks.filter((l) => l.kind === 'beat').length > count,
      before,
    );
    expect((await locks()).at(-1)?.time).toBeCloseTo(second + 0.2, 1);
    expect((await starts())[2]).toBeCloseTo(second + 0.2, 1);
  });

  it('says where the cursor is to those who do not see it', async () => {
    const [, first = 0] = await starts();
    await page.evaluate((time) => (handles.session.view.cursor.value = time), first + 0.63);
    const slider = page.getByRole('slider', { name: 'Recording, close-up' });
    await expect.poll(() => slider.getAttribute('aria-valuetext')).toBe('bar 1 beat 2, 0:03');
  });
});

describe('keys on the page', () => {
  it('F6 goes through the regions and back round; shift F6 the other way', async () => {
    const seen: string[] = [];
    for (let i = 0; i < 3; i += 1) {
      await page.keyboard.press('F6');
      seen.push(await focused());
    }
    expect(seen[0]).toBe('All songs');
    expect(seen[1]).toBe('Recording, close-up');
    await page.keyboard.press('Shift+F6');
    expect(await focused()).toBe('Recording, close-up');
  });

  it('move the cursor by beats while the recording has the focus, not while a slider has it', async () => {
    const stage = page.getByRole('slider', { name: 'Recording, close-up' });
    await stage.focus();
    const before = (await view()).cursor;
    await page.keyboard.press('ArrowRight');
    await expect.poll(async () => (await view()).cursor).toBeGreaterThan(before);
    const after = (await view()).cursor;
    const level = page.getByRole('slider', { name: 'Click level' });
    await level.focus();
    await page.keyboard.press('ArrowRight');
    expect((await view()).cursor).toBe(after);
    expect(await page.evaluate(() => handles.session.settings.value.clickLevel)).toBeCloseTo(0.51, 6);
  });

  it('space plays, but presses a button that has the focus', async () => {
    await page.getByRole('button', { name: /^Click o/ }).focus();
    await page.keyboard.press(' ');
    await expect.poll(() => page.evaluate(() => handles.session.settings.value.clickOn)).toBe(true);
    expect(await page.evaluate(() => handles.session.playing.value)).toBe(false);
    await page.getByRole('slider', { name: 'Recording, close-up' }).focus();
    await page.keyboard.press(' ');
    await expect.poll(() => page.evaluate(() => handles.session.playing.value)).toBe(true);
  });

  it('space plays after a button was pressed by the pointer, until the focus is moved by keys', async () => {
    const button = page.getByRole('button', { name: /^Click o/ });
    const state = () => page.evaluate(() => [handles.session.settings.value.clickOn, handles.session.playing.value]);
    await button.click();
    const [on] = await state();
    await page.keyboard.press(' ');
    await expect.poll(state).toEqual([on, true]);
    await page.keyboard.press('Tab');
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press(' ');
    await expect.poll(state).toEqual([!on, true]);
  });

  it('every command is in the menu', async () => {
    await page.getByRole('button', { name: 'Menu' }).click();
    const labels = await page.evaluate(() => handles.session.commands.map((command) => command.label));
    await page.getByRole('menuitem', { name: 'Lift the lock here' }).waitFor();
    const shown = await page
      .getByRole('menuitem')
      .evaluateAll((items) =>
        items.map((item) => item.getAttribute('aria-label') ?? item.querySelector('span')?.textContent ?? ''),
      );
    // The second digit of 10 to 12 is no command by itself.
    expect(labels.filter((label) => !shown.includes(label) && !label.startsWith('Second digit'))).toEqual([]);
  });
});

describe('what the page says', () => {
  it('names the work under way while a song is open, and lets it be stopped', async () => {
    await page.evaluate(() => {
      const cancel = (): void => handles.show({ task: undefined });
      handles.show({ task: { text: 'Finding beats', done: 0.42, cancel } });
    });
    await page.getByText('Finding beats').waitFor();
    expect(await page.getByRole('progressbar', { name: 'Finding beats' }).getAttribute('value')).toBe('42');
    expect(await page.getByRole('slider', { name: 'Recording, close-up' }).isVisible()).toBe(true);
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.getByText('Finding beats').waitFor({ state: 'detached' });
  });

  it('shows a problem with its way out, which runs it', async () => {
    await page.evaluate(() => {
      const run = (): Promise<void> => Promise.resolve(void handles.session.log.push('lifted'));
      const action = { label: 'Lift this lock and apply', run };
      handles.show({ notice: { kind: 'error', text: 'Bar 3 cannot have 2 beats.', action } });
    });
    expect(await page.getByRole('alert').textContent()).toContain('Bar 3 cannot have 2 beats.');
    await page.getByRole('button', { name: 'Lift this lock and apply' }).click();
    await expect.poll(() => page.evaluate(() => handles.session.log)).toContain('lifted');
    await page.getByText('Bar 3 cannot have 2 beats.').waitFor({ state: 'detached' });
  });

  it('asks for a line beside the work, complains in words, and gives the focus back', async () => {
    await page.getByRole('slider', { name: 'Recording, close-up' }).focus();
    await page.evaluate(() => {
      const { view, log } = handles.session;
      view.prompt.value = {
        kind: 'section-name',
        label: 'Name for bars 1 to 4',
        value: 'Verse',
        choices: ['Bridge'],
        check: (text) => (text.length > 12 ? 'A shorter name, please.' : undefined),
        submit: (text) => {
          log.push(`named ${text}`);
          view.prompt.value = undefined;
          return Promise.resolve();
        },
        cancel: () => (view.prompt.value = undefined),
      };
    });
    const line = page.getByLabel('Name for bars 1 to 4');
    await line.fill('A name that is far too long');
    await page.getByText('A shorter name, please.').waitFor();
    await page.keyboard.press('Enter');
    expect(await line.isVisible()).toBe(true);
    await line.fill('Refrain');
    await page.keyboard.press('Enter');
    await line.waitFor({ state: 'detached' });
    expect(await page.evaluate(() => handles.session.log)).toContain('named Refrain');
    await expect.poll(focused).toBe('Recording, close-up');
  });
});

/** Name or text of what has the focus, through shadow roots. */
function focused(): Promise<string> {
  return page.evaluate(() => {
    let element = document.activeElement;
    while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
    return element?.getAttribute('aria-label') ?? element?.textContent?.trim() ?? '';
  });
}
