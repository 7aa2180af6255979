import type { ChartOptions } from '../../model/chart-options.js';

/** Paper in points, upright. Source: ISO 216 (A4, 210 by 297 mm), ANSI/ASME Y14.1 (Letter, 8.5 by 11 in). */
const PAPER = { a4: [595.28, 841.89], letter: [612, 792] } as const;

export interface PageSize {
  readonly width: number;
  readonly height: number;
}

/** The paper as it lies, in points. */
export function pageSize({ paper, landscape }: Pick<ChartOptions, 'paper' | 'landscape'>): PageSize {
  const [short, long] = PAPER[paper];
  return landscape ? { width: long, height: short } : { width: short, height: long };
}

/** White at the edges, wide enough for what printers cannot reach (common practice, no source). */
export const MARGIN = 40;

/** A size of small letters, in points, no smaller than is read at arm's length (common practice, no source). */
export function legible(points: number): number {
  return Math.max(6.2, points);
}
