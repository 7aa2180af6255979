import { nearestPlace } from '../model/map-index.js';
import { snapToAttacks } from './beats/attack.js';
import { beatGrid, type FoundBeat, type GridMemory } from './beats/grid.js';
import type { Pulse } from './beats/pulse.js';
import { shiftedWorth } from './beats/shifted-worth.js';
import type { Evidence } from './evidence/evidence.js';
import { layOutBars, withLaidBars, type LaidBar } from './bars/odd-bars.js';
import { rhythmBase } from './rhythm-base.js';
import { LEAST_GAP, covered, type RhythmLocks } from './locks/rhythm-locks.js';
import { solveBars, type SolvedBars } from './bars/solve-bars.js';
import type { SolveOptions } from './solve-options.js';
import { regionAt, type Region, type SongPlan } from './meter/song-plan.js';

/** One stretch between free ones: its grid of beats, its bars, and how sure each bar is. */
export interface SolvedStretch extends SolvedBars {
  /** Times of the grid's points; those from `heard` on were added to complete the last bar. */
  readonly times: readonly number[];
  readonly heard: number;
  readonly laid: readonly LaidBar[];
}

const memories = new WeakMap<Pulse, GridMemory>();

function memoryOf(pulse: Pulse): GridMemory {
  let memory = memories.get(pulse);
  if (!memory) memories.set(pulse, (memory = { passes: [] }));
  return memory;
}

/** Beats this near, in seconds and as a share of a beat, are the same beat, found with and without locks. */
const SAME_BEAT = 0.06;
const SAME_SHARE = 0.15;

/** Beats and bars of [from, to), or undefined where there is nothing to count. */
export function solveStretch(
  evidence: Evidence,
  given: RhythmLocks,
  plan: SongPlan,
  from: number,
  to: number,
  insist: boolean,
  options: SolveOptions,
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
  const constraints = { required, forbidden: locks.noBeats };
  const found = beatGrid({ ...pulse, worth }, plan.curve, first, Math.max(first, last), constraints, memoryOf(pulse));
  const beats = attacks(heardOnly(found, pulse), evidence, plan, locks, from, to);
  if (beats.length < 2 && required.length === 0) return undefined;
  const heardTimes = beats.map((beat) => beat.time);
  const heard = heardTimes.length;
  const times = [...heardTimes, ...beatsAfter(heardTimes, plan, locks, to)];
  const lastTime = times[times.length - 1] as number;
  const end = Math.min(to, lastTime + regionAt(plan, lastTime).level.period);
  const over = (grid: readonly number[], count: number): SolvedStretch | undefined => {
    const bars = solveBars(evidence, plan, locks, { times: grid, heard: count, end, moved, laid }, options);
    return bars && { times: grid, heard: count, laid, ...bars };
  };
  const solved = over(times, heard);
  const silent = solved && silentFirstBeat(solved, locks, from);
  return silent === undefined ? solved : over([silent, ...times], heard + 1);
}

/** Beats of a bar from which on the others are no pickup, when only the first is not there. */
const ALMOST_WHOLE = 3;

/**
 * Where the first beat 1 lies when the music comes in on beat 2: a pickup of all beats but one, of three or more, is a bar
 * whose first beat is a rest (common practice, no source). Undefined otherwise, and where the pickup is locked.
 */
function silentFirstBeat(
  { times, nodes, regions }: SolvedStretch,
  locks: RhythmLocks,
  from: number,
): number | undefined {
  const pickup = nodes[0] as number;
  const [first, second] = times as readonly [number, number];
  const region = regions[0] as Region;
  if (pickup < ALMOST_WHOLE || region.grid !== 1 || pickup !== region.level.bars.beats - 1) return undefined;
  const time = first - (second - first);
  const fixed = [...locks.downbeats, ...locks.lengths.map((lock) => lock.time)];
  const isLocked = fixed.some((other) => other < second + 1e-6) || covered(locks.noBeats, time);
  return time < Math.max(0, from) || isLocked || covered(locks.noDownbeats, time) ? undefined : time;
}

/** Beats on their attacks, unless that would break a lock or leave the stretch. */
function attacks(
  found: readonly FoundBeat[],
  evidence: Evidence,
  plan: SongPlan,
  locks: RhythmLocks,
  from: number,
  to: number,
): FoundBeat[] {
  const inside = found.filter((beat) => beat.exact || (beat.time >= from && beat.time < to - 0.02));
  const snapped = snapToAttacks(inside, evidence.tracks.beat).map((beat, i) => {
    if (beat.exact) return beat;
    const time = ownBeat(plan, beat.time) ?? beat.time;
    const stays = time < from || time >= to - 0.02 || covered(locks.noBeats, time);
    return stays ? (inside[i] as FoundBeat) : { ...beat, time };
  });
  return snapped.filter((beat, i) => {
    const near = (other: FoundBeat | undefined): boolean =>
      other !== undefined && Math.abs(other.time - beat.time) < LEAST_GAP;
    return beat.exact || !(near(snapped[i - 1]) || (snapped[i + 1]?.exact === true && near(snapped[i + 1])));
  });
}

/** The level's own beat next to `time`: a lock may not shift beats that it says nothing of, not by a hair. */
function ownBeat(plan: SongPlan, time: number): number | undefined {
  const { times, period } = regionAt(plan, time).level;
  const own = times[nearestPlace(times, time)];
  return own !== undefined && Math.abs(own - time) <= Math.min(SAME_BEAT, SAME_SHARE * period) ? own : undefined;
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

/** Beat length at the end of `times`: the mean of the last eight within their region, else the region's own. */
export function periodAtEnd(times: readonly number[], region: Region): number {
  const recent = times.slice(-9).filter((time) => time >= region.from - 1e-6);
  const last = recent[recent.length - 1] ?? 0;
  return recent.length > 4 ? (last - (recent[0] as number)) / (recent.length - 1) : region.level.period;
}
