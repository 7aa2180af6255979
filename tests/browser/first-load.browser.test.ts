import { expect, inject, it } from 'vitest';
import { browser } from '../support/browser.js';
import { scriptsAtStart, zippedInAll } from '../support/script-sizes.js';

/** Bytes of script, compressed, that the first screen may cost. */
const BUDGET = 150_000;

it('loads at most 150 kB of script for the first screen, and no analysis, decoder or WebAssembly', async () => {
  const context = await (await browser()).newContext();
  const scripts = await scriptsAtStart(await context.newPage(), inject('site'));
  await context.close();
  const names = scripts.map(({ name }) => name);
  expect(names.filter((name) => /^index-.*\.js$/.test(name))).toHaveLength(1);
  expect(names.filter((name) => /worker|processor|essentia|ort|pffft|\.wasm|\.onnx/.test(name))).toEqual([]);
  expect(zippedInAll(scripts)).toBeLessThanOrEqual(BUDGET);
});
