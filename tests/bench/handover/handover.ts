import { chromium, type Download, type Page } from 'playwright-core';
import { EXPORT_KINDS } from '../../../src/export/export-kinds.js';
import { QUIET_BROWSER, withBuiltPage } from '../../support/built-page.js';
import { audible, chooseButton, chooseFile, songShown, type GivenFile } from '../../support/user.js';
import { handoverSongs } from './handover-songs.js';
import { readHanded } from './read-handed.js';

/**
 * `handover`: every kind of file that the page hands over, for six songs, each read by an independent reader where there is one.
 * Resolves to one line a file, and how many were not read soundly.
 */
export async function handoverBench(): Promise<{ readonly text: string; readonly faults: number }> {
  const lines: string[] = [];
  let faults = 0;
  await withBuiltPage(async ({ site, executablePath }) => {
    const browser = await chromium.launch({ executablePath, args: QUIET_BROWSER });
    try {
      for (const { name, map, project } of await handoverSongs()) {
        process.stderr.write(`${name} …\n`);
        const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, acceptDownloads: true });
        const page = await context.newPage();
        await page.goto(site);
        await chooseFile(page, chooseButton(page), project);
        await songShown(page);
        await audible(page);
        for (const [what, hand] of WAYS) {
          // After ten files in a row the browser holds back one; asked again, it lets it pass.
          const first = await handed(page, hand);
          const file = typeof first === 'string' ? await handed(page, hand) : first;
          if (typeof file === 'string') {
            faults++;
            lines.push(`${name}, ${what}: NOT HANDED OVER: ${file}`);
            continue;
          }
          const { by, found, sound } = await readHanded(file, map);
          if (!sound) faults++;
          const kilobytes = `${Math.ceil(file.bytes.length / 1000)} kB`;
          lines.push(`${name}, ${what}, ${kilobytes}, ${by}: ${sound ? found : `NOT SOUND: ${found}`}`);
        }
        await context.close();
      }
    } finally {
      await browser.close();
    }
  });
  lines.push(`${lines.length} files, ${faults} not handed over or not sound`);
  return { text: lines.map((line) => `${line}\n`).join(''), faults };
}

/** Milliseconds that a file may take to be made, and that its download may begin after the page says that it is made. */
const PATIENCE = 90_000;
const GRACE = 15_000;

type Hand = (page: Page) => Promise<void>;

/** Runs in the page: `what` of its session with these words. */
const call =
  (what: string, ...words: readonly unknown[]): Hand =>
  (page) =>
    page.evaluate(
      ([method, given]) => {
        const session = document.querySelector('bw-app')!.session as unknown as Record<
          string,
          (...words: readonly unknown[]) => Promise<void>
        >;
        return session[method]!(...given);
      },
      [what, words] as const,
    );

const TRACKS = { speeds: [1], countIn: { bars: 1 }, click: true, strum: false, announce: false };

const WAYS: readonly (readonly [string, Hand])[] = [
  ...EXPORT_KINDS.map(({ id, label }) => [label, call('exportFile', id)] as const),
  ['chart (PDF)', call('saveChart', 'chart', 'pdf')],
  ['chart (PNG)', call('saveChart', 'chart', 'png')],
  ['chart (SVG)', call('saveChart', 'chart', 'svg')],
  ['poster (PDF)', call('saveChart', 'poster', 'pdf')],
  ['project with the recording', call('saveProject', true)],
  ['project without the recording', call('saveProject', false)],
  ['track (WAV)', call('saveTracks', { ...TRACKS, format: 'wav' })],
  ['track (MP3)', call('saveTracks', { ...TRACKS, format: 'mp3' })],
  ['tracks (WAV, archive)', call('saveTracks', { ...TRACKS, speeds: [0.7, 1], format: 'wav', barCues: true })],
  ['backup', call('backUp')],
];

/** The file, or what the page said instead. */
async function handed(page: Page, hand: Hand): Promise<GivenFile | string> {
  const file = page.waitForEvent('download', { timeout: PATIENCE }).catch(() => undefined);
  const told = hand(page).then(
    () => undefined,
    (error: unknown) => String(error),
  );
  // A download begins when the page has handed the file over, which can be a little after it says so.
  const late = told.then((fault) => new Promise<string>((resolve) => setTimeout(() => resolve(fault ?? ''), GRACE)));
  const download = await Promise.race([file, late]);
  if (typeof download === 'object') return bytesOf(download);
  const notice = await page.evaluate(() => document.querySelector('bw-app')!.session.notice.value?.text);
  return download || notice || 'nothing was said';
}

async function bytesOf(download: Download): Promise<GivenFile> {
  const pieces: Uint8Array[] = [];
  for await (const piece of await download.createReadStream()) pieces.push(piece as Uint8Array);
  return { name: download.suggestedFilename(), bytes: Buffer.concat(pieces) };
}
