import type { Bar } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import type { BuiltSpans } from './build-spans.js';
import { includesTime, type RhythmLocks } from '../locks/rhythm-locks.js';
import type { SolvedStretch } from '../solve-stretch.js';

/** A bar, its number, and what the solver would have put there otherwise. */
export interface BarCase {
  readonly bar: Bar;
  /** As the screen counts: whole bars from 1, a pickup as the bar before it. */
  readonly number: number;
  /** True when locks leave nothing to ask: its start and its length are fixed. */
  readonly settled: boolean;
  readonly kind: 'length' | 'phase' | 'weak';
  /** Second likeliest number of beats. */
  readonly otherBeats?: number;
  /** The bar that then fills the rest, where the next bar line stays: 5 beats are heard as 3 and 2. */
  readonly rest?: { readonly start: Seconds; readonly beats: number };
  /** Likeliest other place for beat 1, in beats from the bar's start and in seconds. */
  readonly shift: number;
  readonly otherStart?: number;
}

/** Readings less likely than this are not worth naming. */
const NAMED = 0.03;

/** All bars with their second readings, in order. */
export function barCases({ spans, stretches }: BuiltSpans, locks: RhythmLocks): BarCase[] {
  const bars = spans.filter((span): span is Bar => span.kind === 'bar');
  const cases: BarCase[] = [];
  let at = 0;
  let number = 0;
  for (const stretch of stretches) {
    const firsts = (stretch.nodes[0] as number) > 0 ? [0, ...stretch.nodes] : stretch.nodes;
    for (let n = 0; n + 1 < firsts.length; n++) {
      const bar = bars[at++] as Bar;
      if (!bar.pickup) number++;
      const lines = { before: firsts[n - 1] ?? -1, from: firsts[n] as number, to: firsts[n + 1] as number };
      cases.push(caseOf(bar, number, stretch, lines, locks));
    }
  }
  return cases;
}

/** Nodes at which the bar before, the bar, and the bar after it start. */
interface BarLines {
  readonly before: number;
  readonly from: number;
  readonly to: number;
}

function caseOf(bar: Bar, number: number, stretch: SolvedStretch, lines: BarLines, locks: RhythmLocks): BarCase {
  const { from, to } = lines;
  const { posteriors, times, regions } = stretch;
  const grid = regions[from]?.grid ?? 1;
  const startFixed = includesTime(locks.downbeats, bar.start) || bar.pickup === true;
  const lengthFixed = locks.lengths.some(({ time }) => Math.abs(time - bar.start) < 1e-6);
  const end = times[to];
  const endFixed = end !== undefined && includesTime(locks.downbeats, end);
  const settled = lengthFixed || (startFixed && endFixed);
  const starts = bar.pickup ? 1 : (posteriors.starts[from] as number);
  const other = otherLength(stretch, from, to, grid);
  const shifted = bestShift(stretch, lines);
  // The start is doubtful where another beat near by is nearly as likely; else it is the length.
  if (starts < 0.7 && !startFixed && shifted && shifted.p > NAMED) {
    return {
      bar,
      number,
      settled,
      kind: 'phase',
      shift: shifted.shift / grid,
      otherStart: times[from + shifted.shift],
    };
  }
  if (other && other.p > NAMED && !bar.pickup) {
    const rest = restOf(stretch, from + Math.round(other.beats * grid), to, other.p, grid);
    return { bar, number, settled, kind: 'length', otherBeats: other.beats, ...(rest ? { rest } : {}), shift: 0 };
  }
  return { bar, number, settled, kind: 'weak', shift: 0 };
}

/** The likeliest other number of beats of the bar from `from` to `to`. */
function otherLength(
  { posteriors, longest, times }: SolvedStretch,
  from: number,
  to: number,
  grid: number,
): { readonly beats: number; readonly p: number } | undefined {
  let best = -1;
  let top = -1;
  for (let length = 1; length <= Math.min(longest, times.length - from); length++) {
    const p = posteriors.arcs[from * (longest + 1) + length] as number;
    if (length === to - from || p <= top) continue;
    best = length;
    top = p;
  }
  return best < 0 ? undefined : { beats: best / grid, p: top };
}

/** The bar from `middle` to `to`, when it is what mostly follows the other reading, whose probability is `p`. */
function restOf(
  { posteriors, longest, times }: SolvedStretch,
  middle: number,
  to: number,
  p: number,
  grid: number,
): { start: Seconds; beats: number } | undefined {
  const start = times[middle];
  if (middle >= to || start === undefined) return undefined;
  const follows = posteriors.arcs[middle * (longest + 1) + (to - middle)] as number;
  return follows > p / 2 ? { start, beats: (to - middle) / grid } : undefined;
}

/** The likeliest other place of beat 1, after the bar line before: that a bar starts there too is a question of its length. */
function bestShift(
  { posteriors }: SolvedStretch,
  { before, from, to }: BarLines,
): { shift: number; p: number } | undefined {
  let best: { shift: number; p: number } | undefined;
  const half = Math.max(1, Math.floor((to - from) / 2));
  for (let shift = Math.max(-half, before + 1 - from); shift <= half; shift++) {
    const p = posteriors.starts[from + shift];
    if (shift !== 0 && p !== undefined && (!best || p > best.p)) best = { shift, p };
  }
  return best;
}
