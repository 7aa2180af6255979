import type { Page } from 'playwright-core';

/**
 * What can be pressed on the page now and is smaller than `least` CSS pixels in width or height, with its size; what is ticked is
 * as large as its label. Inside `within` alone where that is given, a CSS selector of an element of the song's
 * screen. Left out: how wide a bar is, which is to scale (WCAG 2.2, 2.5.8: essential).
 */
export async function smallTargets(
  page: Page,
  least: number,
  within?: string,
): Promise<{ readonly seen: number; readonly small: readonly string[] }> {
  return page.evaluate(
    ([size, place]) => {
      const PRESSED = 'button, a[href], input, select, textarea, summary, [role=tab], [role=gridcell], [role=slider]';
      const small: string[] = [];
      let seen = 0;
      const look = (root: ParentNode, inside: boolean): void => {
        for (const element of root.querySelectorAll<HTMLElement>('*')) {
          const own = inside || (place !== undefined && element.matches(place));
          if (element.shadowRoot) look(element.shadowRoot, own);
          if (!own || !element.matches(PRESSED) || !element.checkVisibility({ visibilityProperty: true })) continue;
          const label = element.matches('[type=checkbox], [type=radio]') ? element.closest('label') : null;
          const box = (label ?? element).getBoundingClientRect();
          if (box.width === 0 || box.height === 0) continue;
          seen += 1;
          const wide = element.matches('[role=gridcell]') ? size : box.width;
          // A hundredth of a pixel less is rounding.
          if (Math.min(wide, box.height) > size - 0.01) continue;
          const name = element.getAttribute('aria-label') ?? element.textContent.trim().slice(0, 30);
          const host = (element.getRootNode() as ShadowRoot).host.localName;
          small.push(`${host} ${element.localName} "${name}" ${box.width.toFixed(1)} x ${box.height.toFixed(1)}`);
        }
      };
      look(document, place === undefined);
      return { seen, small };
    },
    [least, within] as const,
  );
}
