import { shapeText, type Shape } from '../../music/shapes.js';

/**
 * Chord diagrams: strings upright, the nut or a fret's number on top, dots where fingers press, a bar for a barre, "o" over an
 * open string and "x" over one that is not played (common practice, no source).
 */

/** Distances in the diagram's own unit: from string to string, from fret to fret. */
const STRING = 10;
const FRET = 12;
/** Rows drawn, more where a shape is wider. */
const ROWS = 4;
const TOP = 10;
const SIDE = 11;
const DOT = 3.7;

export interface DiagramOptions {
  /** Strings from the right to the left, as a left-handed player sees them. */
  readonly leftHanded?: boolean;
  /** Colour of lines and dots, `currentColor` without. */
  readonly ink?: string;
}

/** A diagram as the inside of an SVG, and the room it takes in its own unit. */
export interface Diagram {
  readonly width: number;
  readonly height: number;
  readonly body: string;
}

/** What a diagram is drawn of, all in its ink. */
export type DiagramMark =
  | { readonly kind: 'line'; readonly d: string; readonly width: number; readonly round?: true }
  | { readonly kind: 'dot' | 'ring'; readonly x: number; readonly y: number; readonly r: number }
  | { readonly kind: 'number'; readonly x: number; readonly y: number; readonly text: string };

/** What a diagram is called for those who do not see it: "G7: 0212". */
export function diagramName(chord: string, shape: Shape): string {
  return `${chord}: ${shapeText(shape)}`;
}

/** The marks of a shape. The first string of the shape is the leftmost, or the rightmost for a left-handed player. */
export function diagramMarks(
  { frets, barre }: Shape,
  leftHanded = false,
): { readonly width: number; readonly height: number; readonly marks: readonly DiagramMark[] } {
  const strings = frets.length;
  const pressed = frets.filter((fret): fret is number => fret !== undefined && fret > 0);
  const high = Math.max(0, ...pressed);
  // What fits beside the nut is drawn there, so that open shapes look as they lie.
  const base = high <= ROWS ? 1 : Math.min(...pressed);
  const rows = Math.max(ROWS, high - base + 1);
  const x = (string: number): number => SIDE + STRING * (leftHanded ? strings - 1 - string : string);
  const y = (fret: number): number => TOP + FRET * (fret - base + 0.5);
  const [left, right] = [SIDE, SIDE + STRING * (strings - 1)];
  const bottom = TOP + FRET * rows;
  const marks: DiagramMark[] = [];
  const line = (x1: number, y1: number, x2: number, y2: number, width: number): void => {
    marks.push({ kind: 'line', d: `M${x1} ${y1}L${x2} ${y2}`, width });
  };
  for (let string = 0; string < strings; string++) line(x(string), TOP, x(string), bottom, 0.8);
  for (let row = base === 1 ? 1 : 0; row <= rows; row++) line(left, TOP + FRET * row, right, TOP + FRET * row, 0.8);
  if (base === 1) line(left - 0.4, TOP - 0.7, right + 0.4, TOP - 0.7, 2.2);
  else marks.push({ kind: 'number', x: left - 3.5, y: y(base) + 3, text: String(base) });
  if (barre) {
    const [from, to] = [x(barre.from), x(barre.to)].sort((a, b) => a - b) as [number, number];
    const d = `M${from} ${y(barre.fret)}L${to} ${y(barre.fret)}`;
    marks.push({ kind: 'line', d, width: DOT * 2, round: true });
  }
  frets.forEach((fret, string) => {
    const covered = barre && fret === barre.fret && string >= barre.from && string <= barre.to;
    if (fret === undefined) marks.push({ kind: 'line', d: cross(x(string), TOP - 5.3), width: 0.9 });
    else if (fret === 0) marks.push({ kind: 'ring', x: x(string), y: TOP - 5.3, r: 2.3 });
    else if (!covered) marks.push({ kind: 'dot', x: x(string), y: y(fret), r: DOT });
  });
  return { width: right + SIDE - 4, height: bottom + 2, marks };
}

/** Draws a shape, see diagramMarks. */
export function shapeDiagram(shape: Shape, { leftHanded, ink = 'currentColor' }: DiagramOptions = {}): Diagram {
  const { width, height, marks } = diagramMarks(shape, leftHanded);
  return { width, height, body: marks.map((mark) => markSvg(mark, ink)).join('') };
}

function markSvg(mark: DiagramMark, ink: string): string {
  switch (mark.kind) {
    case 'line': {
      const cap = mark.round ? ' stroke-linecap="round"' : '';
      return `<path d="${mark.d}" stroke="${ink}" stroke-width="${mark.width}" fill="none"${cap}/>`;
    }
    case 'dot':
      return `<circle cx="${mark.x}" cy="${mark.y}" r="${mark.r}" fill="${ink}"/>`;
    case 'ring':
      return `<circle cx="${mark.x}" cy="${mark.y}" r="${mark.r}" fill="none" stroke="${ink}" stroke-width="0.9"/>`;
    case 'number':
      return `<text x="${mark.x}" y="${mark.y}" font-size="9" text-anchor="end" fill="${ink}" font-family="sans-serif">${mark.text}</text>`;
  }
}

/** The diagram as a whole SVG with its name, "G7: 0212", in `height` CSS pixels. */
export function shapeSvg(chord: string, shape: Shape, height: number, options: DiagramOptions = {}): string {
  const { width, height: own, body } = shapeDiagram(shape, options);
  const name = escaped(diagramName(chord, shape));
  const scale = height / own;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="${name}" viewBox="0 0 ${width} ${own}" ` +
    `width="${Math.round(width * scale * 100) / 100}" height="${height}"><title>${name}</title>${body}</svg>`
  );
}

function cross(x: number, y: number): string {
  const d = 2.2;
  return `M${x - d} ${y - d}L${x + d} ${y + d}M${x + d} ${y - d}L${x - d} ${y + d}`;
}

function escaped(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/"/g, '&quot;');
}
