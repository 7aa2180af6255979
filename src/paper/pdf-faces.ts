import sansBold from '@fontsource/source-sans-3/files/source-sans-3-latin-600-normal.woff?inline';
import sans from '@fontsource/source-sans-3/files/source-sans-3-latin-400-normal.woff?inline';
import serif from '@fontsource/source-serif-4/files/source-serif-4-latin-400-normal.woff?inline';
import serifBold from '@fontsource/source-serif-4/files/source-serif-4-latin-600-normal.woff?inline';
import { decodeBase64 } from '../dsp/base64.js';
import type { Face } from '../export/chart/text-widths.js';

/** The bundled faces as WOFF files: of WOFF2 files fontkit (2.0.4) cannot make the subsets that are embedded. */
export function pdfFaces(): Readonly<Record<Face, Uint8Array>> {
  const bytes = (address: string): Uint8Array => decodeBase64(address.slice(address.indexOf(',') + 1));
  return { serif: bytes(serif), serifBold: bytes(serifBold), sans: bytes(sans), sansBold: bytes(sansBold) };
}
