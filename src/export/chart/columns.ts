import type { DrawnLine } from './draw-line.js';

/** Lines under one another, each with its top. */
export type Column = readonly { readonly line: DrawnLine; readonly y: number }[];

/** Shares of the chord size between lines, and on top where a section begins. */
const LINE_GAP = 0.4;
const SECTION_GAP = 0.5;
/** How much more of each there may be where a page has room to spare. */
const MOST_STRETCH = 2;

function gapBefore(line: DrawnLine, size: number, stretch = 1): number {
  return (line.begins ? LINE_GAP + SECTION_GAP : LINE_GAP) * size * stretch;
}

/** Puts lines into columns from `topOf(column)` to `foot`; a section that fits into one is not broken. */
export function inColumns(
  lines: readonly DrawnLine[],
  size: number,
  topOf: (column: number) => number,
  foot: number,
): readonly Column[] {
  const columns: { line: DrawnLine; y: number }[][] = [[]];
  let y = topOf(0);
  const next = (): void => {
    columns.push([]);
    y = topOf(columns.length - 1);
  };
  for (const section of sections(lines)) {
    const whole = section.reduce((sum, line, i) => sum + line.height + (i > 0 ? gapBefore(line, size) : 0), 0);
    const first = section[0] as DrawnLine;
    const begun = (columns.at(-1) as Column).length > 0;
    const fitsHere = y + (begun ? gapBefore(first, size) : 0) + whole <= foot;
    if (begun && !fitsHere && whole <= foot - topOf(columns.length)) next();
    for (const line of section) {
      let column = columns.at(-1) as { line: DrawnLine; y: number }[];
      let gap = column.length > 0 ? gapBefore(line, size) : 0;
      if (column.length > 0 && y + gap + line.height > foot) {
        next();
        column = columns.at(-1) as { line: DrawnLine; y: number }[];
        gap = 0;
      }
      column.push({ line, y: y + gap });
      y += gap + line.height;
    }
  }
  return columns;
}

function sections(lines: readonly DrawnLine[]): readonly (readonly DrawnLine[])[] {
  const all: DrawnLine[][] = [];
  for (const line of lines) {
    if (line.begins || all.length === 0) all.push([line]);
    else (all.at(-1) as DrawnLine[]).push(line);
  }
  return all;
}

/** The same columns with white between the lines where there is room for it, alike in all of them. */
export function stretched(
  columns: readonly Column[],
  size: number,
  topOf: (column: number) => number,
  foot: number,
): readonly Column[] {
  const rooms = columns.flatMap((column, c) => {
    const lines = column.reduce((sum, { line }) => sum + line.height, 0);
    const gaps = column.slice(1).reduce((sum, { line }) => sum + gapBefore(line, size), 0);
    return gaps > 0 ? [(foot - topOf(c) - lines) / gaps] : [];
  });
  const stretch = Math.min(MOST_STRETCH, Math.max(1, Math.min(...rooms, MOST_STRETCH) * 0.98));
  return columns.map((column, c) => {
    let y = topOf(c);
    return column.map(({ line }, i) => {
      if (i > 0) y += gapBefore(line, size, stretch);
      const place = { line, y };
      y += line.height;
      return place;
    });
  });
}
