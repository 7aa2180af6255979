import type { Page } from 'playwright-core';
import { createServer } from 'vite';
import { afterAll, afterEach, expect } from 'vitest';
import { browser, noteStrangers } from './browser.js';

/** A page in the suite's browser, and a server that gives it the sources as they are. */
export interface Harness {
  readonly page: Page;
  /** The server's address, with a slash at its end. */
  readonly site: string;
}

/**
 * Starts both for the tests of one file and ends them after; uncaught errors of the page fail the test that caused them.
 * To be called in beforeAll.
 */
export async function startHarness(viewport?: { width: number; height: number }): Promise<Harness> {
  const server = await createServer({
    root: '.',
    configFile: false,
    publicDir: false,
    logLevel: 'error',
    optimizeDeps: { noDiscovery: true, include: [] },
    server: { port: 0, host: 'localhost', hmr: false, watch: null },
  });
  await server.listen();
  const context = await (await browser()).newContext(viewport ? { viewport } : {});
  noteStrangers(context, server.resolvedUrls!.local[0]!);
  const page = await context.newPage();
  page.on('pageerror', (error) => faults.push(String(error)));
  ends.push(async () => {
    await context.close();
    await server.close();
  });
  return { page, site: server.resolvedUrls!.local[0]! };
}

const faults: string[] = [];
const ends: (() => Promise<void>)[] = [];

afterEach(() => expect(faults.splice(0)).toEqual([]));
afterAll(async () => {
  for (const end of ends.splice(0)) await end();
});
