/**
 * Signs that the faces lack, drawn for this program: filled outlines in a box one unit high and `width` wide, y downwards.
 * Shapes are those of common engraving (Gould, Behind Bars, 2011, from memory).
 */
export interface Glyph {
  readonly width: number;
  /** SVG path data in the unit box. */
  readonly path: string;
}

export const GLYPHS = {
  sharp: {
    width: 0.42,
    path: 'M.12 .14h.05v.82h-.05zM.26 .06h.05v.82h-.05zM.03 .4L.4 .29v.1L.03 .5zM.03 .67L.4 .56v.1L.03 .77z',
  },
  flat: {
    width: 0.36,
    path: 'M.06 .03h.05v.5C.18 .45 .33 .45 .33 .59C.33 .72 .2 .82 .06 .95zM.11 .61v.21C.18 .75 .24 .69 .24 .61C.24 .53 .15 .55 .11 .61z',
  },
  segno: {
    width: 0.8,
    path:
      'M.62 .25C.55 .1 .3 .1 .27 .26C.25 .39 .36 .43 .48 .48C.63 .54 .75 .61 .71 .78C.66 1 .3 1.02 .2 .82C.16 .72 .24 .66 .3 .72C.34 .77 .28 .8 .3 .84C.36 .93 .56 .9 .58 .77C.59 .66 .49 .62 .38 .57C.22 .5 .12 .43 .14 .27C.18 .02 .55 -.02 .65 .17C.69 .26 .61 .33 .55 .27C.51 .22 .57 .2 .62 .25z' +
      'M.72 .02h.09L.14 .98h-.09zM.13 .62a.055 .055 0 1 0 .11 0a.055 .055 0 1 0 -.11 0zM.62 .38a.055 .055 0 1 0 .11 0a.055 .055 0 1 0 -.11 0z',
  },
  coda: {
    width: 0.9,
    path:
      'M.45 .1C.62 .1 .73 .27 .73 .5C.73 .73 .62 .9 .45 .9C.28 .9 .17 .73 .17 .5C.17 .27 .28 .1 .45 .1zM.45 .16C.35 .16 .28 .3 .28 .5C.28 .7 .35 .84 .45 .84C.55 .84 .62 .7 .62 .5C.62 .3 .55 .16 .45 .16z' +
      'M.425 0h.05v1h-.05zM.02 .475h.86v.05h-.86z',
  },
  slash: { width: 0.62, path: 'M.02 .98L.42 .02H.6L.2 .98z' },
  down: { width: 0.5, path: 'M.22 .04h.06v.68h.14L.25 .98L.08 .72h.14z' },
  up: { width: 0.5, path: 'M.22 .96h.06v-.68h.14L.25 .02L.08 .28h.14z' },
  downAccent: { width: 0.5, path: 'M.19 .3h.12v.42h.13L.25 .98L.06 .72h.13zM.06 0L.44 .1L.06 .2v-.05L.29 .1L.06 .05z' },
  upAccent: { width: 0.5, path: 'M.19 .98h.12v-.42h.13L.25 .3L.06 .56h.13zM.06 0L.44 .1L.06 .2v-.05L.29 .1L.06 .05z' },
  mute: {
    width: 0.5,
    path: 'M.08 .36L.12 .32L.25 .46L.38 .32L.42 .36L.29 .5L.42 .64L.38 .68L.25 .54L.12 .68L.08 .64L.21 .5z',
  },
  rest: { width: 0.5, path: 'M.2 .5a.05 .05 0 1 0 .1 0a.05 .05 0 1 0 -.1 0z' },
  ring: {
    width: 1,
    path: 'M0 .5a.5 .5 0 1 0 1 0a.5 .5 0 1 0 -1 0zM.17 .5a.33 .33 0 1 0 .66 0a.33 .33 0 1 0 -.66 0z',
  },
  cross: { width: 1, path: 'M.08 .2L.2 .08L.5 .38L.8 .08L.92 .2L.62 .5L.92 .8L.8 .92L.5 .62L.2 .92L.08 .8L.38 .5z' },
  dot: { width: 1, path: 'M0 .5a.5 .5 0 1 0 1 0a.5 .5 0 1 0 -1 0z' },
} as const satisfies Readonly<Record<string, Glyph>>;

export type GlyphName = keyof typeof GLYPHS;
