import axe from 'axe-core';
import type { Page } from 'playwright-core';

/** Puts axe-core into the page, once. */
export async function bringAxe(page: Page): Promise<void> {
  if (await page.evaluate(() => 'axe' in globalThis)) return;
  // Firefox 153 ends the page's process when these are read where the attribute names an element; axe reads the attribute then.
  if (page.context().browser()?.browserType().name() === 'firefox')
    await page.evaluate(() => {
      const names = Object.getOwnPropertyNames(Element.prototype).filter((name) => /^aria\w+Elements?$/.test(name));
      for (const name of names) Reflect.deleteProperty(Element.prototype, name);
    });
  await page.evaluate(axe.source);
}
