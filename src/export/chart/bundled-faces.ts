import sansBold from '@fontsource/source-sans-3/files/source-sans-3-latin-600-normal.woff2?inline';
import sans from '@fontsource/source-sans-3/files/source-sans-3-latin-400-normal.woff2?inline';
import serif from '@fontsource/source-serif-4/files/source-serif-4-latin-400-normal.woff2?inline';
import serifBold from '@fontsource/source-serif-4/files/source-serif-4-latin-600-normal.woff2?inline';
import type { Face } from './text-widths.js';

/** The bundled faces as data: addresses of WOFF2 files, for what has to stand alone. Large: load it only when it is needed. */
export const BUNDLED_FACES: Readonly<Record<Face, string>> = { serif, serifBold, sans, sansBold };

const FAMILY: Readonly<Record<Face, readonly [family: string, weight: number]>> = {
  serif: ['Barwright Music', 400],
  serifBold: ['Barwright Music', 600],
  sans: ['Barwright Plain', 400],
  sansBold: ['Barwright Plain', 600],
};

/** A style sheet that brings the faces along, by the names that charts call them. */
export function facesStyle(): string {
  return (Object.keys(FAMILY) as Face[])
    .map((face) => {
      const [family, weight] = FAMILY[face];
      return `@font-face{font-family:'${family}';font-weight:${weight};src:url(${BUNDLED_FACES[face]}) format('woff2')}`;
    })
    .join('');
}
