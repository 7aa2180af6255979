import { pieceEnd, type Piece } from '../music/timeline.js';
import type { BarIndex, Seconds } from '../music/units.js';
import { countUpTo, indexOf } from './map-index.js';
import { EARLY, partTimes } from './play-plan.js';
import { median } from './median.js';
import type { SongMap } from './song-map.js';

/** A place at which a stroke is due on the timeline: beat `beat` (from 0, parts as fractions) of a bar. */
export interface Due {
  readonly at: Seconds;
  readonly bar: BarIndex;
  readonly beat: number;
}

/** A stroke, and how far after the place it was meant for it came; below 0: before. */
export interface JudgedStroke extends Due {
  readonly off: Seconds;
}

/** How far strokes were off, in seconds: their mean, their spread (standard deviation), and the strokes themselves. */
export interface Offsets {
  readonly mean: Seconds;
  readonly spread: Seconds;
  readonly strokes: readonly JudgedStroke[];
}

export interface BarTiming extends Offsets {
  readonly bar: BarIndex;
}

export interface TimingReport extends Offsets {
  /** Bars in which a stroke fell, in the order of the song; all rounds of a loop together. */
  readonly bars: readonly BarTiming[];
  /** Strokes too early or too late by more than `CLOSE`. */
  readonly early: number;
  readonly late: number;
  /** Strokes that fell near no place at all. */
  readonly stray: number;
}

/** Seconds within which a stroke counts as on the beat; own choice. */
export const CLOSE: Seconds = 0.03;
/** A stroke this far from any place was meant for none. */
const STRAY: Seconds = 0.2;

/** The beats, and `parts` of each where wanted, of what was played, on its timeline. */
export function duesOf(map: SongMap, pieces: readonly Piece[], parts: 1 | 2 | 3 | 4): readonly Due[] {
  const { beats, barOfBeat, firstBeat } = indexOf(map);
  return pieces.flatMap((piece) => {
    const dues: Due[] = [];
    const timeOf = (place: Seconds): Seconds => piece.at + (place - piece.from) / piece.rate;
    for (let b = countUpTo(beats, piece.from - EARLY); b < beats.length && beats[b]! < piece.until - EARLY; b++) {
      const bar = barOfBeat[b]!;
      const beat = b - firstBeat[bar]!;
      dues.push({ at: timeOf(beats[b]!), bar, beat });
      partTimes(map, bar, beat, parts).forEach((time, k, all) => {
        if (time < piece.until - EARLY) dues.push({ at: timeOf(time), bar, beat: beat + (k + 1) / (all.length + 1) });
      });
    }
    return dues;
  });
}

/**
 * Judges strokes (seconds of the timeline of `pieces`) against the beats of the map, each by the place nearest to it. Undefined
 * where no stroke fell near any.
 */
export function judgeStrokes(
  map: SongMap,
  pieces: readonly Piece[],
  strokes: readonly Seconds[],
  parts: 1 | 2 | 3 | 4,
): TimingReport | undefined {
  const last = pieces.at(-1);
  const first = pieces[0];
  if (!first || !last) return undefined;
  const heard = strokes.filter((at) => at > first.at - STRAY && at < pieceEnd(last) + STRAY);
  const judged = judge(duesOf(map, pieces, parts), heard);
  if (judged.length === 0) return undefined;
  const bars = [...new Set(judged.map(({ bar }) => bar))].sort((a, b) => a - b);
  return {
    ...offsets(judged),
    bars: bars.map((bar) => ({ bar, ...offsets(judged.filter((stroke) => stroke.bar === bar)) })),
    early: judged.filter(({ off }) => off < -CLOSE).length,
    late: judged.filter(({ off }) => off > CLOSE).length,
    stray: heard.length - judged.length,
  };
}

/** Each stroke by the due place nearest to it; of two at one place the nearer one counts. */
export function judge<D extends { readonly at: Seconds }>(
  dues: readonly D[],
  strokes: readonly Seconds[],
): readonly (D & { readonly off: Seconds })[] {
  const sorted = [...dues].sort((a, b) => a.at - b.at);
  const times = sorted.map(({ at }) => at);
  const best = new Map<number, number>();
  for (const stroke of strokes) {
    const after = countUpTo(times, stroke);
    const near = [after - 1, after].filter((i) => i >= 0 && i < times.length);
    const place = near.sort((a, b) => Math.abs(times[a]! - stroke) - Math.abs(times[b]! - stroke))[0];
    if (place === undefined) continue;
    const off = stroke - times[place]!;
    if (Math.abs(off) > STRAY) continue;
    const known = best.get(place);
    if (known === undefined || Math.abs(off) < Math.abs(known)) best.set(place, off);
  }
  return [...best].sort(([a], [b]) => a - b).map(([place, off]) => ({ ...sorted[place]!, off }));
}

/** The bars farthest from the beat, worst first: at most `count`, with two strokes at least, and only where it can be heard. */
export function worstBars({ bars }: TimingReport, count: number): readonly BarTiming[] {
  const badness = ({ strokes }: BarTiming): number =>
    Math.sqrt(strokes.reduce((sum, { off }) => sum + off * off, 0) / strokes.length);
  return bars
    .filter((bar) => bar.strokes.length >= 2 && badness(bar) > CLOSE)
    .sort((a, b) => badness(b) - badness(a))
    .slice(0, count);
}

/** What a calibration found: how late taps to a click came (median), how far they spread, and how many counted. */
export interface Lateness {
  readonly late: Seconds;
  readonly spread: Seconds;
  readonly taps: number;
}

/** Taps that find into the click first, and those needed after them. */
const FINDING = 4;
const NEEDED = 8;

/** How late `taps` came after `clicks`, the first few left out; undefined when there are too few to tell. */
export function latenessOf(clicks: readonly Seconds[], taps: readonly Seconds[]): Lateness | undefined {
  // Sound that comes late by half a click and more cannot be told from taps before the next one.
  const dues = clicks.map((at) => ({ at }));
  const offs = judgeWide(dues, taps).slice(FINDING);
  if (offs.length < NEEDED) return undefined;
  const middle = median(offs);
  const near = offs.filter((off) => Math.abs(off - middle) < 0.1);
  if (near.length < NEEDED) return undefined;
  const mean = near.reduce((sum, off) => sum + off, 0) / near.length;
  const spread = Math.sqrt(near.reduce((sum, off) => sum + (off - mean) ** 2, 0) / near.length);
  return { late: median(near), spread, taps: near.length };
}

/** Distances of taps to the last click that came up to 0.15 s after them: sound is late far more often than early. */
function judgeWide(dues: readonly { readonly at: Seconds }[], taps: readonly Seconds[]): readonly Seconds[] {
  const times = dues.map(({ at }) => at);
  return [...taps]
    .sort((a, b) => a - b)
    .flatMap((tap) => {
      const place = countUpTo(times, tap + 0.15) - 1;
      return place < 0 ? [] : [tap - times[place]!];
    })
    .filter((off) => off < 0.6);
}

function offsets(strokes: readonly JudgedStroke[]): Offsets {
  const mean = strokes.reduce((sum, { off }) => sum + off, 0) / strokes.length;
  const spread = Math.sqrt(strokes.reduce((sum, { off }) => sum + (off - mean) ** 2, 0) / strokes.length);
  return { mean, spread, strokes };
}
