import { chromium } from 'playwright-core';
import { preview } from 'vite';
import type { TestProject } from 'vitest/node';
import { findChromium } from '../../src/setup/chromium.mjs';

declare module 'vitest' {
  interface ProvidedContext {
    /** Address of the built page, ending in a slash. */
    site: string;
    /** WebSocket address of the one browser that all browser tests share. */
    browser: string;
  }
}

/** Serves dist/web and starts one Chromium for the whole browser suite. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  const executablePath = findChromium();
  if (!executablePath) throw new Error('no Chromium found: run `npm test`, which looks for one or installs it');
  const server = await preview({
    root: 'src',
    configFile: 'vite.config.ts',
    logLevel: 'error',
    build: { outDir: '../dist/web' },
    preview: { port: 0, host: 'localhost' },
  });
  const browser = await chromium.launchServer({
    executablePath,
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-background-networking',
      '--disable-quic',
      '--no-first-run',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
  const site = server.resolvedUrls?.local[0];
  if (!site) throw new Error('the preview server gave no address');
  project.provide('site', site);
  project.provide('browser', browser.wsEndpoint());
  return async () => {
    await browser.close();
    await server.close();
  };
}
