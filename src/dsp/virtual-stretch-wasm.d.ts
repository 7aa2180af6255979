/** The WebAssembly of signalsmith-stretch in Base64, taken out of its package by vite.config.ts. */
declare module 'virtual:stretch-wasm' {
  const binary: string;
  export default binary;
}
