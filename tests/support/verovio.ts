import { parseMidi } from 'midi-file';
import createVerovioModule from 'verovio/wasm';
import { VerovioToolkit } from 'verovio/esm';

/** What verovio says of our scores and may say; there is none at present. */
const ALLOWED: readonly string[] = [];
let toolkit: Promise<VerovioToolkit> | undefined;

/** A score as verovio, an independent renderer, plays it: its measures' numbers in turn, how many notes sound, and what it complained of. */
export async function playedByVerovio(text: string): Promise<{ numbers: string[]; notes: number; log: string[] }> {
  const tk = await loaded(text);
  const numbers = tk
    .renderToTimemap({ includeMeasures: true })
    .flatMap(({ measureOn }) => (measureOn ? [tk.getElementAttr(tk.getNotatedIdForElement(measureOn)).n ?? ''] : []));
  const { tracks } = parseMidi(Buffer.from(tk.renderToMIDI(), 'base64'));
  const notes = tracks.flat().filter((event) => event.type === 'noteOn' && event.velocity > 0).length;
  return { numbers, notes, log: complaints(tk) };
}

/** The pages of a score as verovio draws them (SVG), and what it complained of. */
export async function drawnByVerovio(text: string): Promise<{ pages: string[]; log: string[] }> {
  const tk = await loaded(text);
  const pages = Array.from({ length: tk.getPageCount() }, (_, page) => tk.renderToSVG(page + 1));
  return { pages, log: complaints(tk) };
}

async function loaded(text: string): Promise<VerovioToolkit> {
  toolkit ??= createVerovioModule().then((module) => new VerovioToolkit(module));
  const tk = await toolkit;
  tk.setOptions({ xmlIdSeed: 1 });
  if (!tk.loadData(text)) throw new Error(`verovio: ${tk.getLog()}`);
  return tk;
}

function complaints(tk: VerovioToolkit): string[] {
  const lines = tk.getLog().split('\n');
  return lines.filter((line) => line !== '' && !ALLOWED.some((allowed) => line.includes(allowed)));
}
