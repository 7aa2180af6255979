import type { Instantiate } from '../../src/dsp/stretch.js';

/** WebAssembly as Node has it. */
export const instantiate: Instantiate = (wasm, imports) =>
  new WebAssembly.Instance(new WebAssembly.Module(wasm as Uint8Array<ArrayBuffer>), imports as WebAssembly.Imports)
    .exports;
