import { patternGain, scaleBeats } from './bars/accent-pattern.js';
import { barConstraints, followLocks } from './bars/bar-locks.js';
import { LONGEST_BAR, barLattice, type BarEvidence } from './bars/bar-scores.js';
import { constrain, type BarConstraints } from './bars/constrained-bars.js';
import { downbeatEvidence } from './bars/downbeat-evidence.js';
import { barPosteriors, bestBars, type BarLattice, type BarPosteriors } from './bars/lattice.js';
import { snapToAttacks } from './beats/attack.js';
import { beatGrid, type FoundBeat } from './beats/grid.js';
import type { Pulse } from './beats/pulse.js';
import { shiftedWorth } from './beats/shifted-worth.js';
import type { Evidence } from './evidence.js';
import { beatFeatures } from './features/beat-features.js';
import { rhythmBase } from './rhythm-base.js';
import { LEAST_GAP, covered, type RhythmLocks } from './rhythm-locks.js';
import { layOutBars, withLaidBars, type LaidBar } from './odd-bars.js';
import { regionAt, type Region, type SongPlan } from './song-plan.js';

/** One stretch between free ones: its grid of beats, its bars, and how sure each bar is. */
export interface SolvedStretch {
  /** Times of the grid's points; those from `heard` on were added to complete the last bar. */
  readonly times: readonly number[];
  readonly heard: number;
  /** Points that begin bars, then the point where the last bar ends. */
  readonly nodes: readonly number[];
  readonly posteriors: BarPosteriors;
  /** Stride of the posteriors' arcs is `longest + 1`. */
  readonly longest: number;
  readonly regions: readonly Region[];
  readonly laid: readonly LaidBar[];
}

/** Beats and bars of [from, to), or undefined where there is nothing to count. */
export function solveStretch(
  evidence: Evidence,
  given: RhythmLocks,
  plan: SongPlan,
  from: number,
  to: number,
  insist: boolean,
): SolvedStretch | undefined {
  const { pulse } = rhythmBase(evidence);
  const laid = layOutBars(given, plan, pulse, evidence.tracks.beat, insist).filter(
    ({ beats, end }) => (beats[0] as number) >= from - 1e-9 && end <= to + 1e-6,
  );
  const locks = withLaidBars(given, laid);
  const first = Math.max(pulse.first, Math.ceil(from * pulse.rate - 1e-6));
  const last = Math.min(pulse.last, Math.ceil(to * pulse.rate - 1e-6) - 1);
  const required = locks.beats.filter((time) => time >= from - 1e-9 && time < to - 1e-9);
  if (last <= first && required.length === 0) return undefined;
  const { worth, moved } = shiftedWorth(plan, pulse, required, locks.downbeats, last);
  const found = beatGrid({ ...pulse, worth }, plan.curve, first, Math.max(first, last), {
    required,
    forbidden: locks.noBeats,
  });
  const beats = attacks(heardOnly(found, pulse), evidence, locks, from, to);
  if (beats.length < 2 && required.length === 0) return undefined;
  const heardTimes = beats.map((beat) => beat.time);
  const heard = heardTimes.length;
  const times = [...heardTimes, ...beatsAfter(heardTimes, plan, locks, to)];
  const regions = times.map((time) => regionAt(plan, time));
  const lastTime = times[times.length - 1] as number;
  const features = beatFeatures(
    evidence,
    times,
    Math.min(to, lastTime + (regions[regions.length - 1] as Region).level.period),
  );
  const downbeat = downbeatEvidence(features).fill(0, heard);
  const parts = (extra: Partial<BarEvidence>): BarLattice =>
    byRegion(regions, (region) => {
      const { bars } = region.level;
      const gain = patternGain(scaleBeats(features, bars.scale), bars.pattern).fill(0, heard * bars.beats);
      return barLattice({ count: times.length, heard, downbeat, gain, beats: bars.beats, ...extra });
    });
  const free = parts({});
  const constraints = barConstraints(locks, times, (time) => regionAt(plan, time).grid);
  laid.forEach(({ beats: own }) => fixLength(constraints, times, own));
  const follow = followLocks(bestBars(free), constraints, regions, (i) => covered(moved, times[i] as number));
  const lattice = constrain(follow ? parts(follow) : free, constraints);
  const path = bestBars(lattice) ?? bestBars(free);
  if (!path) return undefined;
  return {
    times,
    heard,
    nodes: path.nodes,
    posteriors: barPosteriors(lattice),
    longest: lattice.longest,
    regions,
    laid,
  };
}

/** Beats on their attacks, unless that would break a lock or leave the stretch. */
function attacks(
  found: readonly FoundBeat[],
  evidence: Evidence,
  locks: RhythmLocks,
  from: number,
  to: number,
): FoundBeat[] {
  const inside = found.filter((beat) => beat.exact || (beat.time >= from && beat.time < to - 0.02));
  const snapped = snapToAttacks(inside, evidence.tracks.beat).map((beat, i) => {
    const stays = beat.time < from || beat.time >= to - 0.02 || covered(locks.noBeats, beat.time);
    return !beat.exact && stays ? (inside[i] as FoundBeat) : beat;
  });
  return snapped.filter((beat, i) => {
    const near = (other: FoundBeat | undefined): boolean =>
      other !== undefined && Math.abs(other.time - beat.time) < LEAST_GAP;
    return beat.exact || !(near(snapped[i - 1]) || (snapped[i + 1]?.exact === true && near(snapped[i + 1])));
  });
}

/** Steady beats after the last one heard, so that the last bar can be whole; fewer where the stretch or a lock ends them. */
function beatsAfter(times: readonly number[], plan: SongPlan, locks: RhythmLocks, to: number): number[] {
  const last = times[times.length - 1] as number;
  const region = regionAt(plan, last);
  const period = periodAtEnd(times, region);
  const fixed = locks.lengths.filter(({ time }) => time <= last && time > last - 40).map(({ meter }) => meter.count);
  const most = Math.max(region.level.bars.beats, ...fixed) - 1;
  const added: number[] = [];
  for (let k = 1; k <= most; k++) {
    const time = last + k * period;
    if (time + 0.5 * period > to || covered(locks.noBeats, time)) break;
    added.push(time);
  }
  return added;
}

/** A lattice whose arcs come, beat by beat, from the lattice of the region they begin in. */
function byRegion(regions: readonly Region[], make: (region: Region) => BarLattice): BarLattice {
  const distinct = [...new Set(regions)];
  const made = new Map(distinct.map((region) => [region, make(region)]));
  const first = made.get(regions[0] as Region) as BarLattice;
  if (distinct.length === 1) return first;
  const arcs = Float64Array.from(first.arcs);
  const stride = LONGEST_BAR + 1;
  regions.forEach((region, i) => {
    const own = (made.get(region) as BarLattice).arcs;
    arcs.set(own.subarray(i * stride, (i + 1) * stride), i * stride);
  });
  return { ...first, arcs };
}

/** Beats this weak (the pulse's deviation is 1) at the ends of a stretch are not there. */
const FAINT = 0.3;

/** The beats without those before the first and after the last that is heard; required ones count as heard. */
function heardOnly(beats: readonly FoundBeat[], pulse: Pulse): FoundBeat[] {
  const isHeard = ({ time, exact }: FoundBeat): boolean => {
    const at = Math.round(time * pulse.rate);
    return exact || pulse.worth.subarray(Math.max(0, at - 3), at + 4).some((worth) => worth > FAINT);
  };
  let from = 0;
  let to = beats.length;
  while (from < to && !isHeard(beats[from] as FoundBeat)) from++;
  while (to > from && !isHeard(beats[to - 1] as FoundBeat)) to--;
  return to - from < 2 ? [...beats] : beats.slice(from, to);
}

/** A laid-out bar has the grid points that were laid out for it, and no others. */
function fixLength(constraints: BarConstraints, times: readonly number[], own: readonly number[]): void {
  const i = times.findIndex((time) => Math.abs(time - (own[0] as number)) <= 1e-6);
  if (i >= 0) constraints.lengths[i] = own.length;
}

/** Beat length at the end of `times`: the mean of the last eight within their region, else the region's own. */
export function periodAtEnd(times: readonly number[], region: Region): number {
  const recent = times.slice(-9).filter((time) => time >= region.from - 1e-6);
  const last = recent[recent.length - 1] ?? 0;
  return recent.length > 4 ? (last - (recent[0] as number)) / (recent.length - 1) : region.level.period;
}
