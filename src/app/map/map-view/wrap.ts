/**
 * Wrapping of a row's boxes into lines. A line holds a whole number of bars of the prevailing length, by count, so the
 * bar lines of one line stand above those of the next, and an irregular bar visibly throws its line out.
 */

export interface Wrapped {
  /** Bars of the prevailing length to a line. */
  readonly perLine: number;
  /** Pixels to a beat. */
  readonly beatPx: number;
}

/** What the boxes of a row need to be wrapped: their width in beats and how many bars each counts as. */
export interface Box {
  readonly width: number;
  /** 1 for a bar, 0 for a pickup; a free stretch counts as the whole bars it covers. */
  readonly bars: number;
}

/** Bars that a line may hold. Phrases of 4 and 8 bars: common practice, no source. */
export const LINE_LENGTHS: readonly number[] = [16, 8, 4, 2, 1];

const MIN_BAR_PX = 56;
const MIN_BEAT_PX = 12;
const MAX_BEAT_PX = 52;
const MAX_BAR_PX = 200;

/**
 * Breaks boxes into lines of at most `perLine` bars. A line may grow longer than its regular length by no more than
 * one bar (long irregular bars), else it breaks sooner. Every line holds at least one box; a pickup stays with its bar.
 *
 * @param barBeats length of a prevailing bar, in beats, above 0
 */
export function wrapBoxes<T extends Box>(boxes: readonly T[], perLine: number, barBeats: number): T[][] {
  const lines: T[][] = [];
  let line: T[] = [];
  let bars = 0;
  let width = 0;
  for (const box of boxes) {
    const full = bars + Math.max(1, box.bars) > perLine || width + box.width > (perLine + 1) * barBeats + 1e-9;
    if (line.length > 0 && full) {
      lines.push(line);
      line = [];
      bars = 0;
      width = 0;
    }
    line.push(box);
    bars += box.bars;
    width += box.width;
  }
  if (line.length > 0) lines.push(line);
  return lines;
}

/** Width of the longest line, in beats. */
export function longestLine(rows: readonly (readonly Box[])[], perLine: number, barBeats: number): number {
  let longest = 0;
  for (const boxes of rows) {
    for (const line of wrapBoxes(boxes, perLine, barBeats)) {
      longest = Math.max(
        longest,
        line.reduce((sum, box) => sum + box.width, 0),
      );
    }
  }
  return longest;
}

/**
 * Chooses how many bars a line holds and how wide a beat is, so that every line fits and bars stay readable: the
 * longest lines whose bars are at least 56 px and whose beats are at least 12 px wide.
 *
 * @param rows boxes of each row
 * @param barBeats length of a prevailing bar, in beats
 * @param room pixels across
 * @param wanted bars to a line that the user asked for; then nothing else is tried, and lines may be wider than `room`
 * @param margin beats left free before each line, where pickups stand
 */
export function chooseWrap(
  rows: readonly (readonly Box[])[],
  barBeats: number,
  room: number,
  wanted?: number,
  margin = 0,
): Wrapped {
  const longestRow = Math.max(1, ...rows.map((boxes) => boxes.reduce((sum, box) => sum + box.bars, 0)));
  // No line longer than the longest row needs; a row of 6 bars stands on a line of 8 only if nothing shorter holds it.
  // Lines of 16 only for short bars (6/8 in two): common practice, no source.
  const usual = LINE_LENGTHS.filter((n) => n < longestRow * 2 && (n <= 8 || barBeats < 3));
  const lengths = wanted === undefined ? usual : [wanted];
  let last: Wrapped = { perLine: lengths[lengths.length - 1] ?? 1, beatPx: MIN_BEAT_PX };
  for (const perLine of lengths) {
    const longest = Math.max(longestLine(rows, perLine, barBeats), Math.min(perLine, longestRow) * barBeats);
    const beatPx = Math.min(MAX_BEAT_PX, MAX_BAR_PX / barBeats, room / (longest + margin));
    last = { perLine, beatPx: Math.max(MIN_BEAT_PX, beatPx) };
    if (beatPx >= MIN_BEAT_PX && beatPx * barBeats >= MIN_BAR_PX) break;
  }
  return last;
}
