import sansBold from '@fontsource/source-sans-3/files/source-sans-3-latin-600-normal.woff?inline';
import sans from '@fontsource/source-sans-3/files/source-sans-3-latin-400-normal.woff?inline';
import serif from '@fontsource/source-serif-4/files/source-serif-4-latin-400-normal.woff?inline';
import serifBold from '@fontsource/source-serif-4/files/source-serif-4-latin-600-normal.woff?inline';
import type { Face } from '../face.js';

/** The bundled faces as far as they are latin: data: addresses of WOFF files. Large: load it only when it is needed. */
export const FACES: Readonly<Record<Face, string>> = { serif, serifBold, sans, sansBold };
