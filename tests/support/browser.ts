import { chromium, firefox, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, afterEach, expect, inject, it } from 'vitest';

export const inFirefox = (): boolean => inject('browserName') === 'firefox';

/** A test that is left out in Firefox, and why; DEVELOPERS.md lists the reasons. */
export function chromiumOnly(reason: string): (name: string, test: () => Promise<void>) => void {
  return (name, test) => (inFirefox() ? it.skip(`${name} (left out in Firefox: ${reason})`, test) : it(name, test));
}

let shared: Promise<Browser> | undefined;

/** The suite's one browser. */
export function browser(): Promise<Browser> {
  shared ??= (inFirefox() ? firefox : chromium).connect(inject('browser'));
  return shared;
}

afterAll(async () => {
  const open = await shared;
  shared = undefined;
  await open?.close();
});

/** Of all visits so far; whatever a test was about, nothing may leave the page's origin. */
const allStrangers: string[] = [];
afterEach(() => expect(allStrangers).toEqual([]));

/** Keeps the requests of a context that leave `site`; any fails the test that runs. blob: and data: stay inside the page. */
export function noteStrangers(context: BrowserContext, site: string): readonly string[] {
  const strangers: string[] = [];
  context.on('request', (request) => {
    const url = request.url();
    if (url.startsWith(site) || url.startsWith('blob:') || url.startsWith('data:')) return;
    strangers.push(url);
    allStrangers.push(url);
  });
  return strangers;
}

/** Ways to the microphone that any visit went without saying that it would; fails the test that runs. */
const allListening: string[] = [];
afterEach(() => expect(allListening).toEqual([]));

/** Errors that pages of any visit threw and nothing caught; they fail the test that runs, unless the visit provokes them. */
const allErrors: string[] = [];
afterEach(() => expect(allErrors.splice(0)).toEqual([]));

export interface Visit {
  readonly context: BrowserContext;
  readonly page: Page;
  /** Requests that left the page's own origin; has to stay empty. blob: and data: stay inside the page. */
  readonly strangers: readonly string[];
  /** What was asked of the browser to come to a microphone; for visits without `microphone` it has to stay empty. */
  readonly listening: readonly string[];
  /** Uncaught errors and console errors of the page. */
  readonly faults: readonly string[];
}

/** Has the pages of a context tell whenever they ask for microphones, which there are, or whether one may be used. */
async function noteListening(context: BrowserContext, asked: string[]): Promise<void> {
  await context.exposeBinding('noteListening', (_, what: string) => void asked.push(what));
  await context.addInitScript(() => {
    const note = (window as unknown as { noteListening(what: string): void }).noteListening;
    const told = <T extends object>(owner: T | undefined, name: keyof T & string): void => {
      if (!owner || typeof owner[name] !== 'function') return;
      const before = owner[name] as (...given: unknown[]) => unknown;
      owner[name] = function (this: T, ...given: unknown[]) {
        note(name);
        return before.apply(this, given);
      } as T[typeof name];
    };
    // Missing where the address is not secure.
    if (typeof MediaDevices !== 'undefined')
      for (const name of ['getUserMedia', 'enumerateDevices', 'getDisplayMedia'] as const)
        told(MediaDevices.prototype, name);
    if (typeof Permissions !== 'undefined') told(Permissions.prototype, 'query');
  });
}

/** A fresh browser profile on the built page; every request and every error is kept. */
export async function visit(
  options: {
    width?: number;
    height?: number;
    path?: string;
    touch?: boolean;
    /** The language that the browser asks for, a BCP 47 tag. */
    language?: string;
    /** Address of another server than the one that all tests share, ending in a slash. */
    site?: string;
    /** Lets the page keep itself for visits without a network; most tests have no use for the work it costs. */
    offline?: boolean;
    /** The user asks for the microphone in this visit. */
    microphone?: boolean;
    /** The test makes the page throw. */
    throwing?: boolean;
    /** Leads through the first song, as it does every newcomer; the other tests are about people who closed that. */
    guided?: boolean;
  } = {},
): Promise<Visit> {
  const context = await (
    await browser()
  ).newContext({
    viewport: { width: options.width ?? 1280, height: options.height ?? 800 },
    hasTouch: options.touch ?? false,
    acceptDownloads: true,
    ...(options.language ? { locale: options.language } : {}),
    serviceWorkers: options.offline ? 'allow' : 'block',
  });
  const site = options.site ?? inject('site');
  const strangers = noteStrangers(context, site);
  const faults: string[] = [];
  const listening = options.microphone ? [] : allListening;
  await noteListening(context, listening);
  if (!options.guided) {
    await context.addInitScript(() => {
      // Pages without an origin of their own have no storage.
      if (!location.protocol.startsWith('http')) return;
      const key = 'barwright.settings';
      localStorage.setItem(key, localStorage.getItem(key) ?? JSON.stringify({ guide: { done: [], closed: true } }));
    });
  }
  const page = await context.newPage();
  // Of every page of the visit; a page that a test opens itself is told of here alone.
  context.on('weberror', (error) => {
    if (!options.throwing) allErrors.push(String(error.error()));
  });
  page.on('pageerror', (error) => faults.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  await page.goto(site + (options.path ?? ''));
  return { context, page, strangers, listening, faults };
}
