declare module 'essentia.js/dist/essentia-wasm.es.js';
declare module 'essentia.js/dist/essentia-wasm.umd.js';
