import type { Bar, Span } from '../../model/song-map.js';
import { beatsOf, withBeats, type Meter } from '../../music/meter.js';
import type { Evidence } from '../evidence/evidence.js';
import type { RhythmLocks } from '../locks/rhythm-locks.js';
import type { SolveOptions } from '../solve-options.js';
import { periodAtEnd, solveStretch, type SolvedStretch } from '../solve-stretch.js';
import { songPlan, type Region, type SongPlan } from '../meter/song-plan.js';

/** Spans that tile the map, and what the doubts need to know of how they came about. */
export interface BuiltSpans {
  readonly spans: readonly Span[];
  readonly plan: SongPlan;
  readonly stretches: readonly SolvedStretch[];
}

const TINY = 1e-6;

/** `insist` spreads beats evenly in bars whose locked length the found beats do not give. */
export function buildSpans(
  evidence: Evidence,
  locks: RhythmLocks,
  insist = false,
  options: SolveOptions = {},
): BuiltSpans {
  const plan = songPlan(evidence, locks);
  const spans: Span[] = [];
  const stretches: SolvedStretch[] = [];
  let from = locks.start;
  for (const gap of [...locks.free, { from: locks.end, to: locks.end }]) {
    const stretch =
      gap.from - from > TINY ? solveStretch(evidence, locks, plan, from, gap.from, insist, options) : undefined;
    const isFree = gap.to > gap.from;
    let end = from;
    if (stretch) {
      stretches.push(stretch);
      end = appendBars(spans, stretch, locks, from, gap.from);
    }
    const afterFree = spans[spans.length - 1]?.kind === 'free';
    if (isFree && !afterFree) spans.push({ kind: 'free', start: spans.length === 0 ? from : end });
    else if (!isFree && gap.from - end > TINY && !afterFree) {
      spans.push({ kind: spans.length === 0 ? 'lead-in' : 'tail', start: end });
    }
    from = gap.to;
  }
  return { spans, plan, stretches };
}

/** Adds the stretch's bars; returns where the last one ends. */
function appendBars(spans: Span[], stretch: SolvedStretch, locks: RhythmLocks, from: number, to: number): number {
  const { times, nodes, posteriors, longest, regions, laid } = stretch;
  if (spans.length === 0 && (times[0] as number) > from + TINY) spans.push({ kind: 'lead-in', start: from });
  const bar = (a: number, b: number, confidence: number): Bar => {
    const region = regions[a] as Region;
    const own = laid.find(({ beats }) => Math.abs((beats[0] as number) - (times[a] as number)) <= TINY);
    const lock = locks.lengths.find(({ time }) => Math.abs(time - (times[a] as number)) <= TINY)?.meter;
    const points = own ? own.beats.length : lock && Math.ceil(beatsOf(lock) * region.grid - TINY);
    // Where the locks could not all be held the bar says what it is, not what it should be.
    const locked = points === b - a ? lock : undefined;
    return {
      kind: 'bar',
      start: times[a] as number,
      beats: times.slice(a, b).filter((_, k) => own !== undefined || k % region.grid === 0),
      meter: locked ?? meterOf(region.meter, (b - a) / region.grid),
      confidence: Math.round(1000 * Math.max(0, Math.min(1, confidence))) / 1000,
    };
  };
  const firstNode = nodes[0] as number;
  if (firstNode > 0) {
    const pickup = bar(0, firstNode, posteriors.starts[firstNode] as number);
    spans.push({ ...pickup, pickup: true });
  }
  for (let n = 0; n + 1 < nodes.length; n++) {
    const [a, b] = [nodes[n] as number, nodes[n + 1] as number];
    spans.push(bar(a, b, posteriors.arcs[a * (longest + 1) + (b - a)] as number));
  }
  return endOfBars(stretch, to);
}

function meterOf(prevailing: Meter, beats: number): Meter {
  return beats === beatsOf(prevailing) ? prevailing : withBeats(prevailing, beats);
}

/** Where the last bar ends: the next beat of the grid, or a beat's length after the last. */
function endOfBars({ times, nodes, regions }: SolvedStretch, to: number): number {
  const node = nodes[nodes.length - 1] as number;
  const next = times[node];
  if (next !== undefined) return next;
  const last = times[times.length - 1] as number;
  const period = periodAtEnd(times, regions[regions.length - 1] as Region);
  return last + 1.3 * period >= to ? to : last + period;
}
