import type { PagesPort } from '../../app/kit/ports.js';

/** Pages as files, made in the page; what makes them is loaded when it is first asked for. */
export function browserPages(): PagesPort {
  return {
    print: async () => {
      // What draws the pages for print is loaded when they are first shown.
      await customElements.whenDefined('bw-chart-workspace');
      await new Promise((resolve) => setTimeout(resolve));
      window.print();
    },
    outlines: async (text) => (await import('./outlines.js')).outlinesFor(text),
    make: async (layout, format) => (await import('./make-pages.js')).makePages(layout, format),
  };
}
