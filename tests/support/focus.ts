import type { Page } from 'playwright-core';

export interface Focus {
  /** Name or text of what has the focus; 'nothing' when the page has it. */
  readonly name: string;
  /** The element of the page it is in: "bw-map-view". */
  readonly host: string;
  /** Its ring is at least two pixels wide, no paler than 3:1 against the page (WCAG 2.2, 1.4.11), and it is not covered (2.4.11). */
  readonly faults: readonly string[];
}

/** What has the focus, through shadow roots, and what is wrong with how that is shown. */
export function focusOf(page: Page): Promise<Focus> {
  return page.evaluate(() => {
    let element = document.activeElement;
    while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
    if (!(element instanceof HTMLElement) || element === document.body)
      return { name: 'nothing', host: '', faults: ['nothing has the focus'] };
    const faults: string[] = [];
    const light = (colour: string): number => {
      const canvas = new OffscreenCanvas(1, 1).getContext('2d')!;
      canvas.fillStyle = colour;
      canvas.fillRect(0, 0, 1, 1);
      // Relative luminance and contrast as WCAG 2.2 defines them.
      const [r = 0, g = 0, b = 0] = [...canvas.getImageData(0, 0, 1, 1).data].map((value) => {
        const share = value / 255;
        return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
      });
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const { outlineStyle, outlineWidth, outlineColor } = getComputedStyle(element);
    if (!element.matches(':focus-visible')) faults.push('is not shown as focused');
    if (outlineStyle === 'none' || parseFloat(outlineWidth) < 2)
      faults.push(`has a ring ${outlineStyle} ${outlineWidth}`);
    const [ring, paper] = [light(outlineColor), light(getComputedStyle(document.documentElement).backgroundColor)];
    const contrast = (Math.max(ring, paper) + 0.05) / (Math.min(ring, paper) + 0.05);
    if (contrast < 3) faults.push(`has a ring of contrast ${contrast.toFixed(1)}`);
    const box = element.getBoundingClientRect();
    const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
    let top = document.elementFromPoint(x, y);
    while (top?.shadowRoot) {
      const inner = top.shadowRoot.elementFromPoint(x, y);
      if (!inner || inner === top) break;
      top = inner;
    }
    if (!top || !(element.contains(top) || top.contains(element) || top.getRootNode() === element.shadowRoot))
      faults.push(`is covered by ${top?.localName}`);
    const root = element.getRootNode();
    return {
      name: element.getAttribute('aria-label') ?? element.textContent.trim().replace(/\s+/g, ' '),
      host: root instanceof ShadowRoot ? root.host.localName : '',
      faults,
    };
  });
}
