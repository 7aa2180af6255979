import type { Face } from './face.js';

/** The bundled faces as far as they hold one group of scripts. */
export interface FaceSet {
  readonly subset: Subset;
  /** data: addresses of WOFF files. */
  readonly faces: Readonly<Record<Face, string>>;
}

export type Subset = 'latin' | 'latin-ext' | 'vietnamese' | 'greek' | 'cyrillic';

/** The characters of each beyond plain Latin, as a style sheet says them. Source: unicode.json in the packages of the faces. */
const RANGES: Readonly<Record<Exclude<Subset, 'latin'>, string>> = {
  vietnamese: 'U+01A0-01A1,U+01AF-01B0,U+1EA0-1EF9',
  'latin-ext':
    'U+0100-0130,U+0132-0151,U+0154-019F,U+01A2-01AE,U+01B1-02BA,U+02BD-02C5,U+02C7-02CC,U+02CE-02D7,U+02DD-02FF,' +
    'U+1D00-1DBF,U+1E00-1E9F,U+1EFA-1EFF,U+2020,U+20A0-20AB,U+20AD-20C4,U+2113,U+2C60-2C7F,U+A720-A7FF',
  greek: 'U+0370-0377,U+037A-037F,U+0384-038A,U+038C,U+038E-03A1,U+03A3-03FF',
  cyrillic: 'U+0400-045F,U+0490-0491,U+04B0-04B1,U+2116',
};

/** Each is loaded when a text needs it. */
const LOAD: Readonly<Record<Subset, () => Promise<{ readonly FACES: FaceSet['faces'] }>>> = {
  latin: () => import('./faces/latin.js'),
  'latin-ext': () => import('./faces/latin-ext.js'),
  vietnamese: () => import('./faces/vietnamese.js'),
  greek: () => import('./faces/greek.js'),
  cyrillic: () => import('./faces/cyrillic.js'),
};

const FAMILY: Readonly<Record<Face, readonly [family: string, weight: number]>> = {
  serif: ['Barwright Music', 400],
  serifBold: ['Barwright Music', 600],
  sans: ['Barwright Plain', 400],
  sansBold: ['Barwright Plain', 600],
};

/** The faces with which as much of the text is written as the program has: plain Latin first, then what the text needs. */
export async function facesFor(text: string): Promise<readonly FaceSet[]> {
  const composed = text.normalize('NFC');
  const needed = Object.entries(RANGES).filter(([, range]) => pattern(range).test(composed));
  const subsets = ['latin', ...needed.map(([subset]) => subset)] as Subset[];
  return Promise.all(subsets.map(async (subset) => ({ subset, faces: (await LOAD[subset]()).FACES })));
}

/** A style sheet that brings the faces for a text along, by the names that charts call them. */
export async function facesStyle(text: string): Promise<string> {
  const sets = await facesFor(text);
  return sets.map(styleOf).join('');
}

function styleOf({ subset, faces }: FaceSet): string {
  // Rules that come later win, so plain Latin needs no range.
  const range = subset === 'latin' ? '' : `;unicode-range:${RANGES[subset]}`;
  return (Object.keys(FAMILY) as Face[])
    .map((face) => {
      const [family, weight] = FAMILY[face];
      return `@font-face{font-family:'${family}';font-weight:${weight};src:url(${faces[face]}) format('woff')${range}}`;
    })
    .join('');
}

/** A style sheet's list of ranges as a pattern for one character of them. */
function pattern(ranges: string): RegExp {
  const parts = ranges.split(',').map((range) => {
    const [from = '', to = from] = range.slice(2).split('-');
    return `\\u{${from}}-\\u{${to}}`;
  });
  return new RegExp(`[${parts.join('')}]`, 'u');
}
