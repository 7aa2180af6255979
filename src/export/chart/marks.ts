import type { GlyphName } from './glyphs.js';
import type { Face } from './face.js';

/** A box in points; y grows downwards. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** What a page carries, in points from its top left corner. Everything is drawn from these and nothing else. */
export type Mark = TextMark | GlyphMark | RectMark | LineMark;

/** A line of text of one face that begins at x on the baseline y; it is set to be exactly `width` wide. */
export interface TextMark {
  readonly kind: 'text';
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly size: number;
  readonly face: Face;
  readonly width: number;
  /** Marks of one chord or one line of text share it: they belong together, however close they stand. */
  readonly group?: string;
  readonly tone?: Tone;
}

/** A drawn sign whose own box begins at (x, y), `size` high for one unit of its design. */
export interface GlyphMark {
  readonly kind: 'glyph';
  readonly glyph: GlyphName;
  readonly x: number;
  readonly y: number;
  readonly size: number;
  /** Narrower than designed where less than 1. */
  readonly squeeze?: number;
  readonly group?: string;
  readonly tone?: Tone;
}

export interface RectMark {
  readonly kind: 'rect';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** Filled with a colour, or with ink. */
  readonly fill?: string;
  readonly tone?: Tone;
}

export interface LineMark {
  readonly kind: 'line';
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly thickness: number;
  readonly dashed?: true;
  readonly round?: true;
  /** It goes on by half its thickness at both ends, so that corners are filled. */
  readonly square?: true;
  /** A line between bars: no text may cross it. */
  readonly barLine?: true;
  /** What it belongs to, where it stands for something that is read. */
  readonly group?: string;
  readonly tone?: Tone;
}

/** `soft` is second-rank text, `faint` a rule. */
export type Tone = 'ink' | 'soft' | 'faint';

/** Share of the size above and below the baseline that the faces' letters reach; accents and brackets are within it. */
export const ASCENT = 0.78;
export const DESCENT = 0.25;

export function textBox({ x, y, size, width }: TextMark): Box {
  return { x, y: y - ASCENT * size, width, height: (ASCENT + DESCENT) * size };
}

/** Everything moved by so much. */
export function moved<M extends Mark>(mark: M, dx: number, dy: number): M {
  if (mark.kind === 'line') return { ...mark, x1: mark.x1 + dx, x2: mark.x2 + dx, y1: mark.y1 + dy, y2: mark.y2 + dy };
  return { ...mark, x: mark.x + dx, y: mark.y + dy };
}

/** Ink on paper, whatever the page around it looks like. */
export const TONES: Readonly<Record<Tone, string>> = { ink: '#1c1a17', soft: '#5c564d', faint: '#a39a8c' };
