import { beatsOf, type Meter } from '../../music/meter.js';
import { levelNear, levelWithBeats, rhythmBase, type Level } from '../rhythm-base.js';
import type { Evidence } from '../evidence/evidence.js';
import type { RhythmLocks } from '../locks/rhythm-locks.js';
import { songMeter } from './song-meter.js';

/** How one part of the song is counted. */
export interface Region {
  readonly from: number;
  readonly to: number;
  readonly level: Level;
  readonly meter: Meter;
  /** Points of the level's grid in one beat of the meter: the beat's units where bars hold parts of one, else 1. */
  readonly grid: number;
  /** True where the user's time signature is not the one that the sound speaks for. */
  readonly against: boolean;
}

/** How the whole song is counted: decided by the evidence, then by the locks on tempo and time signature. */
export interface SongPlan {
  readonly prevailing: Meter;
  readonly level: Level;
  /** Tile the map. */
  readonly regions: readonly Region[];
  /** Beat length at every frame of the pulse, in frames of the pulse. */
  readonly curve: Float32Array;
  /** Worth of a grid point at every frame, the levels' own beats favoured. */
  readonly worth: Float32Array;
}

const plans = new WeakMap<Evidence, Map<string, SongPlan>>();
const PLANS_KEPT = 24;

/** What the levels' own beats are worth above others, in deviations of the pulse. */
const OWN_BEAT = 1.5;

export function songPlan(evidence: Evidence, locks: RhythmLocks): SongPlan {
  const key = JSON.stringify([locks.start, locks.end, locks.tempos, locks.meters]);
  let kept = plans.get(evidence);
  if (!kept) plans.set(evidence, (kept = new Map()));
  const before = kept.get(key);
  if (before) return before;
  if (kept.size >= PLANS_KEPT) kept.delete(kept.keys().next().value as string);
  const plan = makePlan(evidence, locks);
  kept.set(key, plan);
  return plan;
}

function makePlan(evidence: Evidence, locks: RhythmLocks): SongPlan {
  const { pulse } = rhythmBase(evidence);
  const whole = decide(evidence, locks, undefined);
  const edges = new Set([locks.start, locks.end]);
  for (const { from, to } of [...locks.tempos, ...locks.meters]) {
    for (const time of [from, to]) if (time > locks.start && time < locks.end) edges.add(time);
  }
  const times = [...edges].sort((a, b) => a - b);
  const regions: Region[] = [];
  for (let i = 0; i + 1 < times.length; i++) {
    const [from, to] = [times[i] as number, times[i + 1] as number];
    const own = decide(evidence, locks, (from + to) / 2);
    const last = regions[regions.length - 1];
    if (last && last.level === own.level && last.meter === own.meter) regions[regions.length - 1] = { ...last, to };
    else regions.push({ from, to, ...own });
  }
  const curve = new Float32Array(pulse.frames);
  const worth = pulse.worth.slice();
  for (const { from, to, level } of regions) {
    const first = Math.max(0, from === locks.start ? 0 : Math.ceil(from * pulse.rate - 1e-6));
    const end = Math.min(pulse.frames, to === locks.end ? pulse.frames : Math.ceil(to * pulse.rate - 1e-6));
    // A beat's length is judged where it ends: the first beat of a region still ends one of the region before.
    const own = from === locks.start ? 0 : first + Math.round(0.5 * level.period * pulse.rate);
    if (pulse.frames > own) curve.set(level.curve.subarray(own), own);
    for (const time of level.times) favour(worth, Math.round(time * pulse.rate), first, end, OWN_BEAT);
  }
  return { prevailing: whole.meter, level: whole.level, regions, curve, worth };
}

/** Makes a beat at `frame` (within [from, to)) worth more, its neighbours less so. */
export function favour(worth: Float32Array, frame: number, from: number, to: number, amount: number): void {
  for (let d = -1; d <= 1; d++) {
    const at = frame + d;
    if (at >= from && at < to && at >= 0 && at < worth.length) {
      worth[at] = (worth[at] as number) + (d === 0 ? amount : 0.6 * amount);
    }
  }
}

/** `beat` is the level of whole beats, which `level` may divide. */
type Decision = Omit<Region, 'from' | 'to'> & { readonly beat: Level };

/** How the song is counted at `time`; without a time, what holds for most of it. */
function decide(evidence: Evidence, locks: RhythmLocks, time: number | undefined): Decision {
  const most = (locks.end - locks.start) / 2;
  const applies = ({ from, to }: { from: number; to: number }): boolean =>
    time === undefined ? Math.min(to, locks.end) - Math.max(from, locks.start) > most : time >= from && time < to;
  const newest = <T extends { from: number; to: number }>(some: readonly T[]): T | undefined =>
    some.filter(applies).pop();
  const tempo = newest(locks.tempos);
  const meterLock = newest(locks.meters);
  const whole = time === undefined ? undefined : decide(evidence, locks, undefined);
  const level = tempo
    ? levelNear(evidence, tempo.period, whole?.beat.bars.beats)
    : (whole?.beat ?? (rhythmBase(evidence).levels[0] as Level));
  if (!meterLock) {
    if (whole && level === whole.beat) return whole;
    const meter =
      whole && whole.grid === 1 && beatsOf(whole.meter) === level.bars.beats ? whole.meter : songMeter(level);
    return { level, beat: level, meter, grid: 1, against: false };
  }
  return decideMeter(evidence, level, meterLock.meter, tempo !== undefined);
}

function decideMeter(evidence: Evidence, usual: Level, meter: Meter, tempoIsLocked: boolean): Decision {
  const beats = beatsOf(meter);
  const grid = Number.isInteger(beats) ? 1 : meter.beatUnits;
  const now = songMeter(usual);
  let level = usual;
  if (grid > 1) {
    level = levelNear(evidence, usual.period / grid, undefined);
  } else if (!tempoIsLocked && now.count * meter.unit === meter.count * now.unit && beatsOf(now) !== beats) {
    // The same bar, felt in another number of beats (3/4 as 6/8): the bars stay, the beats change.
    level = levelNear(evidence, (usual.period * beatsOf(now)) / beats, beats);
  }
  const points = Math.round(beats * grid);
  const own = levelWithBeats(evidence, level, points);
  return { level: own, beat: grid === 1 ? own : usual, meter, grid, against: !speaksFor(evidence, level, points) };
}

/** True when no other bar length explains the level's beats better. */
function speaksFor(evidence: Evidence, level: Level, beats: number): boolean {
  const own = levelWithBeats(evidence, level, beats).score;
  return [2, 3, 4].every((other) => levelWithBeats(evidence, level, other).score <= own);
}

/** The region that holds `time`, the nearest one outside. */
export function regionAt(plan: SongPlan, time: number): Region {
  return plan.regions.find((region) => time < region.to - 1e-9) ?? (plan.regions[plan.regions.length - 1] as Region);
}
