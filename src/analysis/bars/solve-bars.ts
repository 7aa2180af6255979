import { patternGain, scaleBeats } from './accent-pattern.js';
import { barConstraints, followLocks } from '../locks/bar-locks.js';
import { LONGEST_BAR, barLattice, type BarEvidence } from './bar-scores.js';
import { constrain, type BarConstraints } from './constrained-bars.js';
import { downbeatEvidence } from './downbeat-evidence.js';
import { barPosteriors, bestBars, type BarLattice, type BarPosteriors } from './lattice.js';
import { URGING, lockVotes } from '../locks/lock-votes.js';
import type { Repetition } from './repetition.js';
import type { Evidence } from '../evidence/evidence.js';
import { beatFeatures } from '../evidence/features/beat-features.js';
import { levelBeatAt, levelRepetition } from '../meter/level-repetition.js';
import type { LaidBar } from './odd-bars.js';
import type { Level } from '../rhythm-base.js';
import { covered, type RhythmLocks } from '../locks/rhythm-locks.js';
import type { SolveOptions } from '../solve-options.js';
import { regionAt, type Region, type SongPlan } from '../meter/song-plan.js';

/** The grid of one stretch, before anything is known of its bars. */
export interface StretchGrid {
  /** Times of the grid's points; those from `heard` on were added to complete the last bar. */
  readonly times: readonly number[];
  readonly heard: number;
  /** Where the last point's beat ends. */
  readonly end: number;
  /** Where locks have moved the beats off what is heard. */
  readonly moved: readonly { readonly from: number; readonly to: number }[];
  readonly laid: readonly LaidBar[];
}

/** The bars over the grid of one stretch, and how sure each is. */
export interface SolvedBars {
  /** Points that begin bars, then the point where the last bar ends. */
  readonly nodes: readonly number[];
  readonly posteriors: BarPosteriors;
  /** Stride of the posteriors' arcs is `longest + 1`. */
  readonly longest: number;
  readonly regions: readonly Region[];
}

/** Share of what is heard that is still believed where another pass was corrected. */
const BELIEVED = 0.25;

/** Bars that hold the locks, or undefined where no bar is possible. */
export function solveBars(
  evidence: Evidence,
  plan: SongPlan,
  locks: RhythmLocks,
  grid: StretchGrid,
  options: SolveOptions,
): SolvedBars | undefined {
  const { times, heard, laid } = grid;
  const regions = times.map((time) => regionAt(plan, time));
  const features = beatFeatures(evidence, times, grid.end);
  const alone = downbeatEvidence(features).fill(0, heard);
  const repeats = options.without?.includes('repetition') ? undefined : repeatsOf(evidence, times, regions);
  const downbeat = repeats ? alone.map((own, i) => (i < heard ? own + (repeats.votes[i] as number) : own)) : alone;
  const gains = new Map<Region, Float32Array>();
  for (const region of new Set(regions)) {
    const { bars } = region.level;
    const gain = patternGain(scaleBeats(features, bars.scale), bars.pattern);
    gains.set(region, gain.fill(0, heard * bars.beats));
  }
  const parts = (extra: Partial<BarEvidence>): BarLattice =>
    byRegion(regions, (region) => {
      const gain = gains.get(region) as Float32Array;
      return barLattice({ count: times.length, heard, downbeat, gain, beats: region.level.bars.beats, ...extra });
    });
  const free = parts({});
  const usual = bestBars(free);
  const constraints = barConstraints(locks, times, (time) => regionAt(plan, time).grid);
  laid.forEach(({ beats }) => fixLength(constraints, times, beats));
  const follow = followLocks(usual, constraints, regions, (i) => covered(grid.moved, times[i] as number));
  let lattice = constrain(follow ? parts(follow) : free, constraints);
  let path = bestBars(lattice);
  const spelt = (i: number): boolean => covered(locks.spelt, times[i] as number);
  const said =
    path && usual && repeats ? lockVotes(usual.nodes, path.nodes, repeats.ofPoints(), times.length, spelt) : undefined;
  if (said) {
    const trust = said.map(
      (vote, i) => (follow?.trust?.[i] ?? 1) * (1 - (1 - BELIEVED) * Math.min(1, Math.abs(vote) / URGING)),
    );
    // What the corrected bars said before counts no more where they say something else now.
    const urged = downbeat.map((own, i) =>
      said[i] === 0 ? own : (alone[i] as number) + (said[i] as number) / (trust[i] as number),
    );
    lattice = constrain(parts({ ...follow, downbeat: urged.fill(0, heard), trust }), constraints);
    path = bestBars(lattice);
  }
  path ??= usual;
  if (!path) return undefined;
  return { nodes: path.nodes, posteriors: barPosteriors(lattice), longest: lattice.longest, regions };
}

/** What repeats, said of the points of a grid instead of a level's beats. */
interface Repeats {
  readonly votes: Float32Array;
  ofPoints(): Repetition;
}

function repeatsOf(evidence: Evidence, times: readonly number[], regions: readonly Region[]): Repeats {
  const votes = new Float32Array(times.length);
  const beats = new Int32Array(times.length);
  times.forEach((time, i) => {
    const { level } = regions[i] as Region;
    const beat = levelBeatAt(level, time);
    beats[i] = beat;
    if (beat >= 0) votes[i] = levelRepetition(evidence, level).votes[beat] as number;
  });
  return { votes, ofPoints: () => onPoints(evidence, beats, regions) };
}

/** The repetition between points whose beats (places in their level's times, or -1) repeat one another. */
function onPoints(evidence: Evidence, beats: Int32Array, regions: readonly Region[]): Repetition {
  const points = new Map<Level, Int32Array>();
  beats.forEach((beat, i) => {
    const { level } = regions[i] as Region;
    let own = points.get(level);
    if (!own) points.set(level, (own = new Int32Array(level.times.length).fill(-1)));
    if (beat >= 0) own[beat] = i;
  });
  const offsets = new Int32Array(beats.length + 1);
  const others: number[] = [];
  const weights: number[] = [];
  beats.forEach((beat, i) => {
    const { level } = regions[i] as Region;
    const { repetition } = levelRepetition(evidence, level);
    const to = beat < 0 ? 0 : (repetition.offsets[beat + 1] as number);
    for (let at = beat < 0 ? 0 : (repetition.offsets[beat] as number); at < to; at++) {
      const other = points.get(level)?.[repetition.others[at] as number] ?? -1;
      if (other < 0) continue;
      others.push(other);
      weights.push(repetition.weights[at] as number);
    }
    offsets[i + 1] = others.length;
  });
  return { offsets, others: Int32Array.from(others), weights: Float32Array.from(weights) };
}

/** A lattice whose arcs come, beat by beat, from the lattice of the region they begin in. */
function byRegion(regions: readonly Region[], make: (region: Region) => BarLattice): BarLattice {
  const distinct = [...new Set(regions)];
  const made = new Map(distinct.map((region) => [region, make(region)]));
  const first = made.get(regions[0] as Region) as BarLattice;
  if (distinct.length === 1) return first;
  const arcs = first.arcs.slice();
  const stride = LONGEST_BAR + 1;
  regions.forEach((region, i) => {
    const own = (made.get(region) as BarLattice).arcs;
    arcs.set(own.subarray(i * stride, (i + 1) * stride), i * stride);
  });
  return { ...first, arcs };
}

/** A laid-out bar has the grid points that were laid out for it, and no others. */
function fixLength(constraints: BarConstraints, times: readonly number[], own: readonly number[]): void {
  const i = times.findIndex((time) => Math.abs(time - (own[0] as number)) <= 1e-6);
  if (i >= 0) constraints.lengths[i] = own.length;
}
