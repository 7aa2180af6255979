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

/** What a diagram is drawn of, all in its ink. */
export type DiagramMark =
  | { readonly kind: 'line'; readonly d: string; readonly width: number; readonly round?: true }
  | { readonly kind: 'dot' | 'ring'; readonly x: number; readonly y: number; readonly r: number }
  | { readonly kind: 'number'; readonly x: number; readonly y: number; readonly text: string };

/** What a diagram is called for those who do not see it: "G7: 0212". */
export function diagramName(chord: string, shape: Shape): string {
  return `${chord}: ${shapeText(shape)}`;
}

/** The first fret that a diagram shows, and how many: what fits beside the nut is drawn there, so that open shapes look as they lie. */
export function fretsSeen(frets: Shape['frets']): { readonly first: number; readonly rows: number } {
  const pressed = frets.flatMap((fret) => (fret ? [fret] : []));
  const high = Math.max(0, ...pressed);
  const first = high <= ROWS ? 1 : Math.min(...pressed);
  return { first, rows: Math.max(ROWS, high - first + 1) };
}

/** The marks of a shape. The first string of the shape is the leftmost, or the rightmost for a left-handed player. */
export function diagramMarks(
  { frets, barre }: Shape,
  leftHanded = false,
): { readonly width: number; readonly height: number; readonly marks: readonly DiagramMark[] } {
  const strings = frets.length;
  const { first: base, rows } = fretsSeen(frets);
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

function cross(x: number, y: number): string {
  const d = 2.2;
  return `M${x - d} ${y - d}L${x + d} ${y + d}M${x + d} ${y - d}L${x - d} ${y + d}`;
}
