import type { Stroke, Strum } from '../../music/strum.js';
import { GLYPHS, type GlyphName } from './glyphs.js';
import type { Mark } from './marks.js';

const SIGNS: Readonly<Record<Stroke, GlyphName>> = {
  d: 'down',
  u: 'up',
  D: 'downAccent',
  U: 'upAccent',
  x: 'mute',
  '-': 'rest',
};

/** Between beats, on top of the strokes' own room. */
const BEAT_GAP = 0.22;
const STROKE = 0.62;

/** Width of a pattern drawn one unit high. */
export function strumWidth({ parts, strokes }: Strum): number {
  const beats = Math.ceil(strokes.length / parts);
  return strokes.length * STROKE + (beats - 1) * BEAT_GAP;
}

/** Where the middle of a stroke lies in a pattern drawn one unit high. */
export function strokeMiddle(parts: Strum['parts'], place: number): number {
  return (place + 0.5) * STROKE + Math.floor(place / parts) * BEAT_GAP;
}

/** The strokes of a pattern as arrows, a gap between beats: down and up, with an accent, muted, none. */
export function drawStrum({ parts, strokes }: Strum, x: number, y: number, size: number): readonly Mark[] {
  return [...strokes].map((letter, i): Mark => {
    const glyph = SIGNS[letter as Stroke] ?? 'rest';
    const at = x + (strokeMiddle(parts, i) - GLYPHS[glyph].width / 2) * size;
    return { kind: 'glyph', glyph, x: at, y, size, ...(letter === '-' ? { tone: 'soft' as const } : {}) };
  });
}
