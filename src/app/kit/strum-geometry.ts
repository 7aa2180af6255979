import type { Stroke, Strum } from '../../music/strum.js';

/** Room for one stroke, and the room between two beats. */
export const STROKE_WIDE = 9;
export const STROKE_HIGH = 16;
const BEAT_GAP = 5;

/** A pattern to be drawn: lines in a box of `width` by STROKE_HIGH, accents apart so that they can be heavier. */
export interface StrumShape {
  readonly width: number;
  readonly light: string;
  readonly heavy: string;
}

/** The lines of one stroke whose room begins at `x`: an arrow down or up, a cross for a muted one, a short dash for none. */
export function strokeLines(stroke: Stroke, x = 0): string {
  const middle = x + STROKE_WIDE / 2;
  const head = (tip: number, back: number) => `M${middle - 3} ${back}L${middle} ${tip}L${middle + 3} ${back}`;
  switch (stroke) {
    case 'd':
    case 'D':
      return `M${middle} 2V14${head(14, 10)}`;
    case 'u':
    case 'U':
      return `M${middle} 14V2${head(2, 6)}`;
    case 'x':
      return `M${middle - 3} 5L${middle + 3} 11M${middle - 3} 11L${middle + 3} 5`;
    case '-':
      return `M${middle - 1} 8H${middle + 1}`;
  }
}

export function isAccent(stroke: Stroke): boolean {
  return stroke === 'D' || stroke === 'U';
}

/** A whole pattern, its beats a little apart. */
export function strumShape({ parts, strokes }: Strum): StrumShape {
  let light = '';
  let heavy = '';
  [...strokes].forEach((letter, i) => {
    const stroke = letter as Stroke;
    const lines = strokeLines(stroke, i * STROKE_WIDE + Math.floor(i / parts) * BEAT_GAP);
    if (isAccent(stroke)) heavy += lines;
    else light += lines;
  });
  const gaps = Math.max(0, Math.ceil(strokes.length / parts) - 1);
  return { width: strokes.length * STROKE_WIDE + gaps * BEAT_GAP, light, heavy };
}
