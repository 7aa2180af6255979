import type { Bar, Span } from '../model/song-map.js';
import { beatsOf, beatStartsOf, withBeats, type Meter } from '../music/meter.js';
import { snapToAttacks } from './beats/attack.js';
import { beatGrid, type FoundBeat } from './beats/grid.js';
import { noBarConstraints, constrain, type BarConstraints } from './bars/constrained-bars.js';
import { barLattice } from './bars/bar-scores.js';
import { downbeatEvidence } from './bars/downbeat-evidence.js';
import { patternGain, scaleBeats } from './bars/accent-pattern.js';
import { barPosteriors, bestBars, type BarPosteriors } from './bars/lattice.js';
import type { Evidence } from './evidence.js';
import { beatFeatures } from './features/beat-features.js';
import { rhythmBase, type Level } from './rhythm-base.js';
import { covered, includesTime, type RhythmLocks } from './rhythm-locks.js';

/** Spans that tile the map, and what the doubts need to know of how they came about. */
export interface BuiltSpans {
  readonly spans: readonly Span[];
  readonly prevailing: Meter;
  readonly level: Level;
  readonly stretches: readonly SolvedStretch[];
}

/** One stretch between free ones: its beats, its bars, and how sure each bar is. */
export interface SolvedStretch {
  readonly beats: readonly FoundBeat[];
  readonly nodes: readonly number[];
  readonly posteriors: BarPosteriors;
  readonly longest: number;
}

export function buildSpans(evidence: Evidence, locks: RhythmLocks): BuiltSpans {
  const base = rhythmBase(evidence);
  const level = base.levels[0] as Level;
  const prevailing = songMeter(level.bars.beats);
  const spans: Span[] = [];
  const stretches: SolvedStretch[] = [];
  let from = locks.start;
  const gaps = [...locks.free, { from: locks.end, to: locks.end }];
  for (const gap of gaps) {
    const stretch = solveStretch(evidence, locks, level, from, gap.from);
    if (stretch) {
      stretches.push(stretch);
      const end = appendBars(spans, stretch, prevailing, from, gap.from);
      if (gap.to > gap.from) spans.push({ kind: 'free', start: end });
      else if (gap.from - end > 1e-6) spans.push({ kind: 'tail', start: end });
    } else if (gap.to > gap.from) {
      if (spans.length === 0) spans.push({ kind: 'free', start: from });
      else if (spans[spans.length - 1]?.kind !== 'free') spans.push({ kind: 'free', start: from });
    } else if (spans.length === 0) {
      spans.push({ kind: 'lead-in', start: from });
    }
    from = gap.to;
  }
  return { spans, prevailing, level, stretches };
}

function songMeter(beats: number): Meter {
  return { count: beats, unit: 4, beatUnits: 1 };
}

function solveStretch(
  evidence: Evidence,
  locks: RhythmLocks,
  level: Level,
  from: number,
  to: number,
): SolvedStretch | undefined {
  const { pulse } = rhythmBase(evidence);
  const first = Math.max(pulse.first, Math.ceil(from * pulse.rate));
  const last = Math.min(pulse.last, Math.ceil(to * pulse.rate) - 1);
  const required = locks.beats.filter((time) => time >= from - 1e-9 && time < to - 1e-9);
  if (last <= first && required.length === 0) return undefined;
  const found = beatGrid(pulse, level.curve, first, Math.max(first, last), { required, forbidden: locks.noBeats });
  const snapped = snapToAttacks(found, evidence.tracks.beat).map((beat, i) => {
    const original = found[i] as FoundBeat;
    const bad = !beat.exact && (beat.time < from || beat.time >= to || covered(locks.noBeats, beat.time));
    return bad ? original : beat;
  });
  const beats = snapped.filter((beat, i) => beat.exact || beat.time - (snapped[i - 1]?.time ?? -1) > 0.08);
  if (beats.length < 2 && required.length === 0) return undefined;
  const times = beats.map((beat) => beat.time);
  const lastTime = times[times.length - 1] as number;
  const features = beatFeatures(evidence, times, Math.min(to, lastTime + level.period));
  const gain = patternGain(scaleBeats(features, level.bars.scale), level.bars.pattern);
  const free = barLattice({ count: times.length, downbeat: downbeatEvidence(features), gain, beats: level.bars.beats });
  const lattice = constrain(free, barConstraints(locks, times));
  const path = bestBars(lattice) ?? bestBars(free);
  if (!path) return undefined;
  return { beats, nodes: path.nodes, posteriors: barPosteriors(lattice), longest: lattice.longest };
}

function barConstraints(locks: RhythmLocks, times: readonly number[]): BarConstraints {
  const constraints = noBarConstraints(times.length);
  times.forEach((time, i) => {
    if (includesTime(locks.downbeats, time)) constraints.starts[i] = 1;
    else if (covered(locks.noDownbeats, time)) constraints.starts[i] = 2;
  });
  for (const { time, meter } of locks.lengths) {
    const i = times.findIndex((beat) => Math.abs(beat - time) <= 1e-6);
    if (i >= 0) constraints.lengths[i] = beatStartsOf(meter);
  }
  return constraints;
}

/** Adds the stretch's bars; returns where the last one ends. */
function appendBars(spans: Span[], stretch: SolvedStretch, prevailing: Meter, from: number, to: number): number {
  const { beats, nodes, posteriors, longest } = stretch;
  const times = beats.map((beat) => beat.time);
  const firstTime = times[0] as number;
  if (spans.length === 0 && firstTime > from + 1e-6) spans.push({ kind: 'lead-in', start: from });
  const bar = (a: number, b: number, confidence: number, pickup: boolean): Bar => ({
    kind: 'bar',
    start: times[a] as number,
    beats: times.slice(a, b),
    meter: b - a === beatsOf(prevailing) ? prevailing : withBeats(prevailing, b - a),
    ...(pickup ? { pickup: true as const } : {}),
    confidence,
  });
  const firstNode = nodes[0] as number;
  if (firstNode > 0)
    spans.push(
      bar(
        0,
        firstNode,
        posteriors.starts[firstNode] as number,
        spans.every((s) => s.kind === 'lead-in'),
      ),
    );
  for (let n = 0; n + 1 < nodes.length; n++) {
    const [a, b] = [nodes[n] as number, nodes[n + 1] as number];
    spans.push(bar(a, b, Math.min(1, posteriors.arcs[a * (longest + 1) + (b - a)] as number), false));
  }
  const lastTime = times[times.length - 1] as number;
  const before = times.slice(-5);
  const period = before.length > 1 ? (lastTime - (before[0] as number)) / (before.length - 1) : 0.5;
  return lastTime + 1.3 * period >= to ? to : lastTime + period;
}
