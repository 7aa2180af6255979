import { chromium } from 'playwright-core';
import type { TestProject } from 'vitest/node';
import { serveBuiltPage } from './built-page.js';

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
  const { site, executablePath, close } = await serveBuiltPage();
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
      // A microphone that beeps; whether a page may use it is still asked.
      '--use-fake-device-for-media-stream',
    ],
  });
  project.provide('site', site);
  project.provide('browser', browser.wsEndpoint());
  return async () => {
    await browser.close();
    await close();
  };
}
