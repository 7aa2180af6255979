// WebVTT's own parser (w3c/webvtt.js) comes without types.
declare module 'webvtt-parser' {
  export class WebVTTParser {
    parse(
      text: string,
      mode: 'metadata' | 'captions' | 'chapters',
    ): {
      readonly cues: readonly { readonly startTime: number; readonly endTime: number; readonly text: string }[];
      readonly errors: readonly { readonly message: string; readonly line: number }[];
    };
  }
  /** What Node gives of it, which finds no names in the package. */
  const module: { readonly WebVTTParser: typeof WebVTTParser };
  export default module;
}
