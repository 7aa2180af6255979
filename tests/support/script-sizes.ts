import { gzipSync } from 'node:zlib';
import type { Page, Response } from 'playwright-core';

export interface ScriptSize {
  readonly name: string;
  /** Bytes as a server that compresses would send them. */
  readonly zipped: number;
}

/** The scripts that the page at `site` loads of itself, until its first screen stands and nothing more is asked for. */
export async function scriptsAtStart(page: Page, site: string): Promise<ScriptSize[]> {
  const loaded: Promise<ScriptSize>[] = [];
  const note = (response: Response): void => {
    const { pathname } = new URL(response.url());
    if (response.request().resourceType() !== 'script' && !/\.(js|mjs|wasm|onnx)$/.test(pathname)) return;
    const name = pathname.split('/').pop() ?? '';
    loaded.push(response.body().then((body) => ({ name, zipped: gzipSync(body).length })));
  };
  page.on('response', note);
  await page.goto(site);
  await page.locator('bw-start-page [data-act=choose]').waitFor();
  await page.waitForLoadState('networkidle');
  page.off('response', note);
  return Promise.all(loaded);
}

export function zippedInAll(scripts: readonly ScriptSize[]): number {
  return scripts.reduce((sum, { zipped }) => sum + zipped, 0);
}
