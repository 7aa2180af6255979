import { beatsOf, type Meter } from '../music/meter.js';
import { levelNear, levelWithBeats, rhythmBase, type Level } from './rhythm-base.js';
import type { Evidence } from './evidence.js';
import type { RhythmLocks } from './rhythm-locks.js';
import { songMeter } from './song-meter.js';

/** How one part of the song is counted. */
export interface Region {
  readonly from: number;
  readonly to: number;
  readonly level: Level;
  readonly meter: Meter;
  /** Points of the level's grid in one beat of the meter: 2 where bars hold half beats, else 1. */
  readonly grid: number;
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
  const whole = regionAt(evidence, locks, undefined);
  const edges = new Set([locks.start, locks.end]);
  for (const { from, to } of [...locks.tempos, ...locks.meters]) {
    for (const time of [from, to]) if (time > locks.start && time < locks.end) edges.add(time);
  }
  const times = [...edges].sort((a, b) => a - b);
  const regions: Region[] = [];
  for (let i = 0; i + 1 < times.length; i++) {
    const [from, to] = [times[i] as number, times[i + 1] as number];
    const own = regionAt(evidence, locks, (from + to) / 2);
    const last = regions[regions.length - 1];
    if (last && last.level === own.level && last.meter === own.meter) regions[regions.length - 1] = { ...last, to };
    else regions.push({ from, to, ...own });
  }
  const curve = new Float32Array(pulse.frames);
  const worth = Float32Array.from(pulse.worth);
  for (const { from, to, level } of regions) {
    const first = Math.max(0, from === locks.start ? 0 : Math.ceil(from * pulse.rate));
    const end = Math.min(pulse.frames, to === locks.end ? pulse.frames : Math.ceil(to * pulse.rate));
    if (end > first) curve.set(level.curve.subarray(first, end), first);
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

/** How the song is counted at `time`; without a time, what holds for most of it. */
function regionAt(evidence: Evidence, locks: RhythmLocks, time: number | undefined): Omit<Region, 'from' | 'to'> {
  const most = (locks.end - locks.start) / 2;
  const applies = ({ from, to }: { from: number; to: number }): boolean =>
    time === undefined ? Math.min(to, locks.end) - Math.max(from, locks.start) > most : time >= from && time < to;
  const newest = <T extends { from: number; to: number }>(some: readonly T[]): T | undefined =>
    some.filter(applies).pop();
  const tempo = newest(locks.tempos);
  const meterLock = newest(locks.meters);
  const own = time === undefined ? undefined : regionAt(evidence, locks, undefined);
  const best = own?.level ?? (rhythmBase(evidence).levels[0] as Level);
  let level = tempo ? levelNear(evidence, tempo.period, own?.level.bars.beats) : best;
  if (!meterLock)
    return {
      level,
      meter: own && own.level.bars.beats === level.bars.beats ? own.meter : songMeter(level),
      grid: own?.grid ?? 1,
    };
  const { meter } = meterLock;
  const beats = beatsOf(meter);
  const grid = Number.isInteger(beats) ? 1 : 2;
  const now = songMeter(level);
  if (!tempo && now.count * meter.unit === meter.count * now.unit && beatsOf(now) !== beats && grid === 1) {
    // The same bar, felt in another number of beats (3/4 as 6/8): the bars stay, the beats change.
    level = levelNear(evidence, (level.period * beatsOf(now)) / beats, beats);
  } else if (grid === 2) {
    level = levelNear(evidence, level.period / 2, beats * grid);
  }
  return { level: levelWithBeats(evidence, level, Math.round(beats * grid)), meter, grid };
}
