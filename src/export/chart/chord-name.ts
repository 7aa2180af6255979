import { GLYPHS, type GlyphName } from './glyphs.js';
import type { Mark } from './marks.js';
import type { Face } from './face.js';
import { textWidth } from './text-widths.js';

/** A part of a chord's name, set one behind another: letters, or a drawn accidental. */
type Part =
  | { readonly kind: 'text'; readonly text: string; readonly size: number; readonly face: Face }
  | { readonly kind: 'glyph'; readonly glyph: GlyphName; readonly size: number };

/** Sizes against the root's. */
const SUFFIX = 0.74;
const ACCIDENTAL = 0.82;
const GAP = 0.03;
/** Below this share of its size a name is set narrower rather than smaller. */
const SMALLEST = 0.62;

const NAME = /^([A-G])([#b]*)(.*?)(?:\/([A-G])([#b]*))?$/;

/** How wide a chord's name is at a size. */
export function chordWidth(text: string, size: number): number {
  return partsOf(text).reduce((sum, part) => sum + partWidth(part) + GAP, -GAP) * size;
}

/**
 * The marks of a chord's name that begins at x on the baseline y; made smaller, and then narrower, where `room` is less than
 * it wants.
 */
export function chordMarks(
  text: string,
  place: {
    readonly x: number;
    readonly y: number;
    readonly size: number;
    readonly room: number;
    readonly group: string;
  },
): readonly Mark[] {
  const wanted = chordWidth(text, place.size);
  if (wanted <= 0) return [];
  const share = Math.min(1, place.room / wanted);
  const size = place.size * Math.max(share, Math.min(1, SMALLEST));
  const squeeze = Math.min(1, share / Math.max(share, SMALLEST));
  let x = place.x;
  return partsOf(text).map((part): Mark => {
    const at = x;
    x += (partWidth(part) + GAP) * size * squeeze;
    const shared = { x: at, group: place.group };
    if (part.kind === 'text')
      return {
        kind: 'text',
        ...shared,
        y: place.y,
        text: part.text,
        size: part.size * size,
        face: part.face,
        width: partWidth(part) * size * squeeze,
      };
    // Accidentals stand as high as the letter before them.
    const height = part.size * size;
    return { kind: 'glyph', ...shared, glyph: part.glyph, y: place.y - 0.86 * height, size: height, squeeze };
  });
}

function partWidth(part: Part): number {
  return part.kind === 'text' ? textWidth(part.text, part.size, part.face) : GLYPHS[part.glyph].width * part.size;
}

const known = new Map<string, readonly Part[]>();

function partsOf(text: string): readonly Part[] {
  const before = known.get(text);
  if (before) return before;
  const parts = readParts(text);
  if (known.size > 2000) known.clear();
  known.set(text, parts);
  return parts;
}

function readParts(text: string): readonly Part[] {
  const match = NAME.exec(text);
  if (!match) return [{ kind: 'text', text, size: SUFFIX, face: 'serifBold' }];
  const [, root = '', accidentals = '', suffix = '', bass, bassAccidentals = ''] = match;
  return [
    { kind: 'text', text: root, size: 1, face: 'serifBold' },
    ...withAccidentals(accidentals, ACCIDENTAL),
    ...withAccidentals(suffix, SUFFIX),
    ...(bass === undefined
      ? []
      : [
          { kind: 'text', text: `/${bass}`, size: SUFFIX, face: 'serifBold' } as const,
          ...withAccidentals(bassAccidentals, SUFFIX * ACCIDENTAL),
        ]),
  ];
}

/** In a suffix every # and every b before a figure is an accidental. */
function withAccidentals(text: string, size: number): readonly Part[] {
  return text
    .split(/(#|b(?=\d|b|$))/)
    .filter((piece) => piece !== '')
    .map((piece): Part => {
      if (piece === '#' || piece === 'b')
        return {
          kind: 'glyph',
          glyph: piece === '#' ? 'sharp' : 'flat',
          size: size === SUFFIX ? SUFFIX * ACCIDENTAL : size,
        };
      return { kind: 'text', text: piece, size, face: 'serif' };
    });
}
