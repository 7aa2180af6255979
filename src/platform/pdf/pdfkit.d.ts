// What is used of pdfkit, whose own types are not among what it exports.
declare module 'pdfkit' {
  interface TextOptions {
    readonly lineBreak: boolean;
    readonly baseline: 'alphabetic';
    /** OpenType features by name, on or off. */
    readonly features: Readonly<Record<string, boolean>>;
  }
  /** An element of the structure of a tagged document. */
  export interface StructureElement {
    add(child: StructureElement | StructureContent): this;
  }
  interface StructureContent {
    readonly refs: readonly unknown[];
  }
  /** A stream or dictionary of its own in the file. */
  interface Reference {
    end(bytes?: Uint8Array): void;
  }
  /** A picture that is in the file already, by the name that pages call it. */
  interface EmbeddedImage {
    readonly width: number;
    readonly height: number;
    readonly label: string;
    readonly obj: Reference;
  }
  export default class PDFDocument {
    constructor(options: {
      readonly size: readonly [width: number, height: number];
      readonly margin: number;
      readonly autoFirstPage: boolean;
      readonly font: string;
      readonly info: Readonly<Record<string, string | Date>>;
      readonly pdfVersion: '1.7';
      readonly tagged: boolean;
      readonly displayTitle: boolean;
      readonly lang: string;
    });
    on(event: 'data', listener: (piece: Uint8Array) => void): this;
    on(event: 'end', listener: () => void): this;
    on(event: 'error', listener: (error: Error) => void): this;
    registerFont(name: string, bytes: Uint8Array): this;
    addPage(): this;
    end(): void;
    save(): this;
    restore(): this;
    translate(x: number, y: number): this;
    scale(x: number, y: number): this;
    path(data: string): this;
    rect(x: number, y: number, width: number, height: number): this;
    fill(colour: string, rule?: 'even-odd'): this;
    moveTo(x: number, y: number): this;
    lineTo(x: number, y: number): this;
    stroke(colour: string): this;
    lineWidth(points: number): this;
    lineCap(cap: 'butt' | 'round' | 'square'): this;
    dash(length: number, options: { readonly space: number }): this;
    undash(): this;
    font(name: string): this;
    fontSize(points: number): this;
    fillColor(colour: string): this;
    widthOfString(text: string, options: TextOptions): number;
    text(text: string, x: number, y: number, options: TextOptions): this;
    image(image: EmbeddedImage, x: number, y: number, size: { readonly width: number; readonly height: number }): this;
    ref(data: Readonly<Record<string, unknown>>): Reference;
    struct(type: string, options: { readonly actual?: string; readonly alt?: string }): StructureElement;
    addStructure(element: StructureElement): this;
    markContent(tag: string, options?: { readonly actual?: string }): this;
    markStructureContent(tag: string): StructureContent;
    endMarkedContent(): this;
  }
}
