import { patternGain, scaleBeats } from './bars/accent-pattern.js';
import { barConstraints, followLocks } from './bars/bar-locks.js';
import { LONGEST_BAR, barLattice, type BarEvidence } from './bars/bar-scores.js';
import { constrain } from './bars/constrained-bars.js';
import { downbeatEvidence } from './bars/downbeat-evidence.js';
import { barPosteriors, bestBars, type BarLattice, type BarPosteriors } from './bars/lattice.js';
import { snapToAttacks } from './beats/attack.js';
import { beatGrid, type FoundBeat } from './beats/grid.js';
import { shiftedWorth } from './beats/shifted-worth.js';
import type { Evidence } from './evidence.js';
import { beatFeatures } from './features/beat-features.js';
import { rhythmBase } from './rhythm-base.js';
import { covered, type RhythmLocks } from './rhythm-locks.js';
import type { Region, SongPlan } from './song-plan.js';

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
}

/** Beats and bars of [from, to), or undefined where there is nothing to count. */
export function solveStretch(
  evidence: Evidence,
  locks: RhythmLocks,
  plan: SongPlan,
  from: number,
  to: number,
): SolvedStretch | undefined {
  const { pulse } = rhythmBase(evidence);
  const first = Math.max(pulse.first, Math.ceil(from * pulse.rate - 1e-6));
  const last = Math.min(pulse.last, Math.ceil(to * pulse.rate - 1e-6) - 1);
  const required = locks.beats.filter((time) => time >= from - 1e-9 && time < to - 1e-9);
  if (last <= first && required.length === 0) return undefined;
  const worth = shiftedWorth(plan, pulse, required, locks.downbeats, last);
  const found = beatGrid({ ...pulse, worth }, plan.curve, first, Math.max(first, last), {
    required,
    forbidden: locks.noBeats,
  });
  const beats = attacks(found, evidence, locks, from, to);
  if (beats.length < 2 && required.length === 0) return undefined;
  const heardTimes = beats.map((beat) => beat.time);
  const heard = heardTimes.length;
  const times = [...heardTimes, ...beatsAfter(heardTimes, plan, locks, to)];
  const regions = times.map((time) => regionOf(plan, time));
  const lastTime = times[times.length - 1] as number;
  const features = beatFeatures(
    evidence,
    times,
    Math.min(to, lastTime + (regions[regions.length - 1] as Region).level.period),
  );
  const downbeat = downbeatEvidence(features);
  const parts = (extra: Partial<BarEvidence>): BarLattice =>
    byRegion(regions, (region) => {
      const { bars } = region.level;
      const gain = patternGain(scaleBeats(features, bars.scale), bars.pattern);
      return barLattice({ count: times.length, heard, downbeat, gain, beats: bars.beats, ...extra });
    });
  const free = parts({});
  const constraints = barConstraints(locks, times, (time) => regionOf(plan, time).grid);
  const follow = followLocks(bestBars(free), constraints, regions);
  const lattice = constrain(follow ? parts(follow) : free, constraints);
  const path = bestBars(lattice) ?? bestBars(free);
  if (!path) return undefined;
  return { times, heard, nodes: path.nodes, posteriors: barPosteriors(lattice), longest: lattice.longest, regions };
}

function regionOf(plan: SongPlan, time: number): Region {
  return plan.regions.find((region) => time < region.to) ?? (plan.regions[plan.regions.length - 1] as Region);
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
      other !== undefined && Math.abs(other.time - beat.time) < 0.06;
    return beat.exact || !(near(snapped[i - 1]) || (snapped[i + 1]?.exact === true && near(snapped[i + 1])));
  });
}

/** Steady beats after the last one heard, so that the last bar can be whole; fewer where the stretch or a lock ends them. */
function beatsAfter(times: readonly number[], plan: SongPlan, locks: RhythmLocks, to: number): number[] {
  const last = times[times.length - 1] as number;
  const recent = times.slice(-9);
  const region = regionOf(plan, last);
  const period = recent.length > 4 ? (last - (recent[0] as number)) / (recent.length - 1) : region.level.period;
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
