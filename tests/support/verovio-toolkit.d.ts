// What the tests use of verovio, which has no types of its own.
declare module 'verovio/wasm' {
  export default function createVerovioModule(): Promise<object>;
}
declare module 'verovio/esm' {
  export class VerovioToolkit {
    constructor(module: object);
    setOptions(options: object): void;
    loadData(text: string): boolean;
    renderToTimemap(options: object): readonly { readonly measureOn?: string; readonly tstamp: number }[];
    getNotatedIdForElement(id: string): string;
    getElementAttr(id: string): Readonly<Record<string, string>>;
    getPageCount(): number;
    renderToMIDI(): string;
    renderToSVG(page: number): string;
    getLog(): string;
  }
}
