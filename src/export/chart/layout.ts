import type { ChartOptions } from '../../model/chart-options.js';
import type { PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { chartLines, type ChartLines } from './chart-lines.js';
import { chartSong, type ChartSong } from './chart-song.js';
import { inColumns, stretched, type Column } from './columns.js';
import { drawFoot, drawHeader } from './draw-header.js';
import { GUTTER } from './draw-head.js';
import { drawLine, type DrawnLine } from './draw-line.js';
import { moved, type Mark } from './marks.js';
import { MARGIN, pageSize, type PageSize } from './paper.js';

/** A drawing on its pages; places in points. */
export interface ChartLayout extends PageSize {
  readonly title: string;
  readonly pages: readonly ChartPage[];
  /** Size of the chords' names, bars a line, and the least share of its wanted width that a name gets. */
  readonly size: number;
  readonly perLine: number;
  readonly fit: number;
}

export interface ChartPage {
  readonly marks: readonly Mark[];
}

/** The size of chord names in points, and the shares of it that are tried, largest first, to come out on one page. */
const SIZES = {
  small: { points: 11, shares: [1, 0.93, 0.86] },
  normal: { points: 14, shares: [1.25, 1.16, 1.08, 1, 0.93, 0.86, 0.8, 0.74, 0.68] },
  large: { points: 19, shares: [1.16, 1.08, 1, 0.92, 0.85] },
  stage: { points: 27, shares: [1.1, 1, 0.92, 0.85] },
} as const;
/** Between the columns. */
const COLUMN_GAP = 22;
/** Height at the foot for the page's number. */
const FOOT = 14;
const PER_LINE = [4, 8, 2, 6, 3, 5, 1, 16] as const;
/** The width of a usual bar that is read most easily, in sizes of the chords: four to eight bars a line of upright paper. */
const BEST_BAR = 6.5;
/** Fewer points a beat, or names more cramped than this, are read with trouble. */
const MOST_CRAMPED = 0.012;
const TIGHTEST = 0.55;

/**
 * A map as a chart on paper: the largest size that fits on one page, else the full size on as few pages as it takes, broken
 * between sections where they fit on a page. Nothing overlaps and nothing leaves the page, whatever the names.
 */
export function layOutChart(map: SongMap, options: ChartOptions, passes: readonly PassTable[] = []): ChartLayout {
  const song = chartSong(map, options, passes);
  const page = pageSize(options);
  const { points, shares } = SIZES[options.size];
  const top = drawHeader(song, options, page.width).height;
  let best: Attempt | undefined;
  for (const share of shares) {
    const found = candidates(song, options, page, points * share);
    const tried = found.map((each) => attempt(options, page, top, each));
    const single = tried.find(
      ({ columns, lines }) =>
        columns.length <= options.columns && lines.cramped <= MOST_CRAMPED && lines.fit >= TIGHTEST,
    );
    if (single) return finished(song, options, page, top, single);
    // Where it takes several pages, a little smaller only where that saves one.
    if (share > 1 || share < 0.9) continue;
    for (const each of tried) if (!best || cost(each, points, options) < cost(best, points, options)) best = each;
  }
  return finished(song, options, page, top, best as Attempt);
}

interface Candidate {
  readonly size: number;
  readonly perLine: number;
  readonly lines: ChartLines;
  /** How unlike the most readable width its bars are. */
  readonly unlike: number;
}

/** A candidate with its lines in columns; as many columns a page as the options say. */
interface Attempt extends Candidate {
  readonly columns: readonly Column[];
}

function cost({ columns, lines, unlike, size }: Attempt, points: number, options: ChartOptions): number {
  const pages = Math.ceil(columns.length / options.columns);
  const cramped = 14 * Math.max(0, lines.cramped - MOST_CRAMPED) + 4 * Math.max(0, TIGHTEST - lines.fit);
  return Math.log(pages) + cramped + 0.35 * unlike + 2.5 * Math.abs(Math.log(size / points));
}

/** Bars a line that could be used at a size, the best to read first. */
function candidates(song: ChartSong, options: ChartOptions, page: PageSize, size: number): readonly Candidate[] {
  const width = lineWidth(options, page.width, size);
  const unlike = (perLine: number): number => {
    const bar = (width / perLine / size) * (4 / Math.max(2, song.usualBeats));
    return Math.abs(Math.log(bar / BEST_BAR)) + oddness(perLine);
  };
  const close = PER_LINE.filter((perLine) => perLine === 1 || width / perLine >= 3 * size);
  return [...close]
    .sort((a, b) => unlike(a) - unlike(b))
    .map((perLine) => ({
      size,
      perLine,
      unlike: unlike(perLine),
      lines: chartLines(song, perLine, width, size),
    }));
}

/** Phrases have two, four or eight bars more often than three, five or six. */
function oddness(perLine: number): number {
  return perLine === 3 || perLine === 6 ? 0.5 : perLine === 5 ? 0.8 : perLine === 1 || perLine === 16 ? 0.3 : 0;
}

function lineWidth({ columns }: ChartOptions, pageWidth: number, size: number): number {
  return (pageWidth - 2 * MARGIN - (columns - 1) * COLUMN_GAP) / columns - GUTTER * size;
}

function attempt(options: ChartOptions, page: PageSize, top: number, found: Candidate): Attempt {
  const { size, lines } = found;
  const { slashes, barNumbers } = options;
  const style = { size, width: lineWidth(options, page.width, size), slashes, barNumbers };
  const drawn = lines.lines.map((line, i): DrawnLine => {
    const next = lines.lines[i + 1];
    return drawLine(line, style, `line ${i}`, next === undefined, next?.begins ?? false);
  });
  return { ...found, columns: inColumns(drawn, size, topsOf(options, top), page.height - MARGIN - FOOT) };
}

function topsOf({ columns }: ChartOptions, top: number): (column: number) => number {
  return (column) => (column < columns ? top : MARGIN);
}

function finished(song: ChartSong, options: ChartOptions, page: PageSize, top: number, found: Attempt): ChartLayout {
  const { size, perLine, lines } = found;
  const foot = page.height - MARGIN - FOOT;
  const columns = stretched(found.columns, size, topsOf(options, top), foot);
  const count = Math.max(1, Math.ceil(columns.length / options.columns));
  const step = (page.width - 2 * MARGIN + COLUMN_GAP) / options.columns;
  const pages = Array.from({ length: count }, (_, i): ChartPage => {
    const own = columns.slice(i * options.columns, (i + 1) * options.columns);
    const marks = own.flatMap((column, c) =>
      column.flatMap(({ line, y }) => line.marks.map((mark) => moved(mark, MARGIN + GUTTER * size + c * step, y))),
    );
    return {
      marks: [
        ...(i === 0 ? drawHeader(song, options, page.width).marks : []),
        ...marks,
        ...drawFoot(song, page, i, count),
      ],
    };
  });
  return { title: song.title, ...page, pages, size, perLine, fit: lines.fit };
}
