import { fileURLToPath } from 'node:url';
import { chromium, firefox, type BrowserServer } from 'playwright-core';
import type { TestProject } from 'vitest/node';
import { findFirefox } from '../../src/scripts/browsers.mjs';
import { serveBuiltPage } from './built-page.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** Address of the built page, ending in a slash. */
    site: string;
    /** Which browser the suite runs in; the variable BARWRIGHT_BROWSER chooses it. */
    browserName: 'chromium' | 'firefox';
    /** WebSocket address of the one browser that all browser tests share. */
    browser: string;
  }
}

/** Serves dist/web and starts one browser for the whole browser suite. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  const { site, executablePath, close } = await serveBuiltPage();
  const browserName = process.env.BARWRIGHT_BROWSER === 'firefox' ? 'firefox' : 'chromium';
  const browser = await (browserName === 'firefox' ? startFirefox() : startChromium(executablePath));
  project.provide('site', site);
  project.provide('browserName', browserName);
  project.provide('browser', browser.wsEndpoint());
  return async () => {
    await browser.close();
    await close();
  };
}

function startChromium(executablePath: string): Promise<BrowserServer> {
  return chromium.launchServer({
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
}

/** The Firefox that is installed, over WebDriver BiDi. */
function startFirefox(): Promise<BrowserServer> {
  const path = findFirefox();
  if (!path) throw new Error('no Firefox found: install one, or name one in the variable FIREFOX');
  return firefox.launchServer({
    channel: 'moz-firefox',
    executablePath: fileURLToPath(new URL('firefox-over-bidi.mjs', import.meta.url)),
    env: { ...process.env, FIREFOX: path },
    firefoxUserPrefs: {
      // Without a sound device its sound would never start; this is the stand-in that its own tests use.
      'media.cubeb.force_mock_context': true,
      // Otherwise the list of downloads opens and takes the focus.
      'browser.download.alwaysOpenPanel': false,
      // A microphone of its own tests, refused unless a test allows it: nobody could answer a question.
      'media.navigator.streams.fake': true,
      'permissions.default.microphone': 2,
      // Peer connections may reach this machine, so that a test can hear them.
      'media.peerconnection.ice.loopback': true,
    },
  });
}
