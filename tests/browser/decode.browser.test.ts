import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build, preview, type PreviewServer } from 'vite';
import { afterAll, beforeAll, it } from 'vitest';
import { decodeFile } from '../../src/platform/decode/node.js';
import { firstAttack } from '../platform/decode/signals.js';
import { browser, noteStrangers } from '../support/browser.js';
import { decodeChecks, type Heard } from './decode.check.js';

const folder = mkdtempSync(join(tmpdir(), 'decode-'));
let server: PreviewServer;
beforeAll(async () => {
  const common = { root: 'src', base: './', publicDir: false, logLevel: 'error', configFile: false } as const;
  await build({
    ...common,
    worker: { format: 'es' },
    build: {
      outDir: folder,
      rollupOptions: {
        input: 'src/platform/decode/browser.ts',
        preserveEntrySignatures: 'strict',
        output: { entryFileNames: 'browser.js' },
      },
    },
  });
  writeFileSync(join(folder, 'blank.html'), '<title>blank</title>');
  server = await preview({ ...common, build: { outDir: folder }, preview: { port: 0, host: 'localhost' } });
});
afterAll(async () => {
  await server.close();
  rmSync(folder, { recursive: true });
});

async function inNode(name: string, bytes: Uint8Array): Promise<Heard> {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  const { pcm, signal, recording, format, peaks } = await decodeFile(path);
  return {
    format,
    attack: firstAttack(pcm.channels[0]!, pcm.sampleRate),
    analysed: firstAttack(signal, 22050),
    duration: recording.duration,
    channels: pcm.channels.length,
    contentId: recording.contentId,
    steps: peaks.data.length / 2,
  };
}

it('hears the first attack at the same moment in every format, as the command line does', async () => {
  const context = await (await browser()).newContext();
  const page = await context.newPage();
  const site = server.resolvedUrls!.local[0]!;
  noteStrangers(context, site);
  await page.goto(`${site}blank.html`);
  const heard = await decodeChecks(page, `${site}browser.js`, inNode);
  if (process.env.BARWRIGHT_LONG) console.table(Object.fromEntries(heard));
  await context.close();
});
