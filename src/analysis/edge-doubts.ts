import { msg, str } from '@lit/localize';
import { quantile } from '../dsp/series.js';
import type { Bar, Doubt } from '../model/song-map.js';
import { beatsOf } from '../music/meter.js';
import type { BarCase } from './bar-cases.js';
import type { Evidence } from './evidence.js';
import { includesTime, type RhythmLocks } from './rhythm-locks.js';
import type { SongPlan } from './song-plan.js';

/** Decibels below the loud parts (95th percentile) at which something still sounds, if faintly, and the track's 90 dB. */
const FAINT = 70;
const RANGE = 90;
/** Sound before the first beat of less than this share of a beat, after the last bar of less than so many bars, is no music. */
const BEFORE = 0.4;
const AFTER = 1;
/** How much a listen is worth. */
const WEIGHT = 0.3;

/** Whether the music begins before the first bar, or goes on after the last: where something sounds there and no lock says. */
export function edgeDoubts(
  evidence: Evidence,
  cases: readonly BarCase[],
  plan: SongPlan,
  locks: RhythmLocks,
  end: number,
): Doubt[] {
  const first = cases.find(({ bar }) => !bar.pickup);
  const last = cases[cases.length - 1];
  if (!first || !last) return [];
  const period = plan.level.period;
  const length = beatsOf(plan.prevailing) * period;
  const doubts: Doubt[] = [];
  const lead = (cases[0] as BarCase).bar.start - soundingFrom(evidence, locks.start, (cases[0] as BarCase).bar.start);
  const before = (bars: number): number => first.bar.start - bars * length;
  const bars = Math.max(1, Math.round((lead - (first === cases[0] ? 0 : period)) / length));
  if (lead > BEFORE * period && !isSaid(locks, first.bar))
    doubts.push({
      time: first.bar.start,
      weight: WEIGHT,
      kind: 'edge',
      text: msg(str`Bar ${first.number}: is this the first bar? It sounds before.`),
      keep: [lengthLock(first.bar)],
      other: before(bars) >= locks.start ? [{ kind: 'downbeat', time: before(bars) }] : [],
    });
  const tail = soundingTo(evidence, end, locks.end) - end;
  const seconds = Math.round(tail);
  if (last !== first && tail > AFTER * length && !isSaid(locks, last.bar))
    doubts.push({
      time: last.bar.start,
      weight: WEIGHT,
      kind: 'edge',
      text: msg(str`Bar ${last.number}: is this the last bar? It sounds on for ${seconds} s.`),
      keep: [lengthLock(last.bar)],
      other: [{ kind: 'downbeat', time: end + Math.floor(tail / length) * length }],
    });
  return doubts;
}

function lengthLock(bar: Bar): Doubt['keep'][number] {
  return { kind: 'bar-length', time: bar.start, meter: bar.meter };
}

function isSaid(locks: RhythmLocks, { start }: Bar): boolean {
  return includesTime(locks.downbeats, start) || locks.lengths.some(({ time }) => Math.abs(time - start) < 1e-6);
}

/** Where, going back from `to`, it falls silent: the last quarter of a second that does not sound. */
function soundingFrom(evidence: Evidence, from: number, to: number): number {
  const sounds = sounding(evidence);
  let time = to;
  while (time - STEP >= from && sounds(time - STEP)) time -= STEP;
  return time;
}

function soundingTo(evidence: Evidence, from: number, to: number): number {
  const sounds = sounding(evidence);
  let time = from;
  while (time + STEP <= to && sounds(time)) time += STEP;
  return time;
}

/** Seconds looked at together. */
const STEP = 0.1;

/** What sounds at least, found once an evidence: it takes as long as all other doubts together. */
const leastOf = new WeakMap<Evidence, number>();

function sounding(evidence: Evidence): (from: number) => boolean {
  const { level } = evidence.tracks;
  const least = leastOf.get(evidence) ?? Math.max(1, quantile(level.data, 0.95) - (FAINT * 255) / RANGE);
  leastOf.set(evidence, least);
  return (from) => {
    const part = level.data.subarray(
      Math.max(0, Math.round(from * level.rate)),
      Math.round((from + STEP) * level.rate),
    );
    return part.length > 0 && part.reduce((sum, value) => sum + value, 0) / part.length >= least;
  };
}
