import { createServer, type ViteDevServer } from 'vite';
import { afterAll, beforeAll, it } from 'vitest';
import { browser, noteStrangers } from '../support/browser.js';
import { playerChecks } from './player.browser.js';

// The modules themselves are needed, which the built page does not offer.
let server: ViteDevServer;
beforeAll(async () => {
  server = await createServer({
    configFile: 'vite.config.ts',
    root: 'src',
    publicDir: false,
    logLevel: 'error',
    optimizeDeps: { noDiscovery: true },
    server: { port: 0, host: 'localhost', hmr: false, watch: null, fs: { allow: ['..'] } },
  });
  await server.listen();
});
afterAll(() => server.close());

it('plays recording and clicks to the sample, stops softly, and tells where it is', async () => {
  const context = await (await browser()).newContext();
  const site = server.resolvedUrls!.local[0]!;
  noteStrangers(context, site);
  await playerChecks(await context.newPage(), site);
  await context.close();
});
