import type { Instantiate } from '../../dsp/stretch.js';

/** WebAssembly as workers and Node have it. */
export const instantiate: Instantiate = (wasm, imports) =>
  new WebAssembly.Instance(new WebAssembly.Module(wasm as Uint8Array<ArrayBuffer>), imports as WebAssembly.Imports)
    .exports;
