/** PFFFT (Julien Pommier) in WebAssembly; pointers are bytes from the start of its memory. */
declare module '@echogarden/pffft-wasm/simd' {
  export interface Pffft {
    readonly HEAPF32: Float32Array;
    /** 0 when there is none of this size. */
    _pffft_new_setup(size: number, kind: number): number;
    _pffft_aligned_malloc(bytes: number): number;
    /** Result in the usual order of bins. */
    _pffft_transform_ordered(setup: number, input: number, output: number, work: number, direction: number): void;
  }
  const start: () => Promise<Pffft>;
  export default start;
}
