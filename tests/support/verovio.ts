import createVerovioModule from 'verovio/wasm';
import { VerovioToolkit } from 'verovio/esm';

/** What verovio says of our scores and may say; there is none at present. */
const ALLOWED: readonly string[] = [];
let toolkit: Promise<VerovioToolkit> | undefined;

/** A score as verovio, an independent renderer, plays it: its measures' numbers in turn, and what it complained of. */
export async function expandedByVerovio(text: string): Promise<{ numbers: string[]; log: string[] }> {
  toolkit ??= createVerovioModule().then((module) => new VerovioToolkit(module));
  const tk = await toolkit;
  tk.setOptions({ xmlIdSeed: 1 });
  if (!tk.loadData(text)) throw new Error(`verovio: ${tk.getLog()}`);
  const numbers = tk
    .renderToTimemap({ includeMeasures: true })
    .flatMap(({ measureOn }) => (measureOn ? [tk.getElementAttr(tk.getNotatedIdForElement(measureOn)).n ?? ''] : []));
  // It has to draw every page too.
  for (let page = 1; page <= tk.getPageCount(); page++) {
    if (!tk.renderToSVG(page).includes('<svg')) throw new Error(`verovio drew nothing on page ${page}`);
  }
  const log = tk.getLog().split('\n');
  return { numbers, log: log.filter((line) => line !== '' && !ALLOWED.some((allowed) => line.includes(allowed))) };
}
