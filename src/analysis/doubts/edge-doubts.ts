import { msg, str } from '@lit/localize';
import { quantile } from '../../dsp/series.js';
import type { Bar, Doubt } from '../../model/song-map.js';
import { beatsOf } from '../../music/meter.js';
import type { BarCase } from '../bars/bar-cases.js';
import type { Evidence } from '../evidence/evidence.js';
import { includesTime, LEAST_GAP, type RhythmLocks } from '../locks/rhythm-locks.js';
import type { SongPlan } from '../meter/song-plan.js';

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
  const begins = (cases[0] as BarCase).bar.start;
  const sounds = soundingFrom(evidence, locks.start, begins);
  if (begins - sounds > BEFORE * period && !isSaid(locks, first.bar) && !includesTime(locks.beats, begins)) {
    const other = beforeFirst(first.bar, begins, sounds, plan, locks.start);
    doubts.push({
      time: first.bar.start,
      weight: WEIGHT,
      kind: 'edge',
      text: msg(str`Bar ${first.number}: is this the first bar? It sounds before.`),
      // A bar that is sure of its start may else be given a pickup.
      keep: [lengthLock(first.bar), ...(other?.kind === 'beat' ? [{ ...other, kind: 'no-beat' } as const] : [])],
      other: other ? [other] : [],
    });
  }
  const tail = soundingTo(evidence, end, locks.end) - end;
  const seconds = Math.round(tail);
  if (last !== first && tail > AFTER * length && !isSaid(locks, last.bar))
    doubts.push({
      time: last.bar.start,
      weight: WEIGHT,
      kind: 'edge',
      text: msg(str`Bar ${last.number}: is this the last bar? It sounds on for ${seconds} s.`),
      keep: [lengthLock(last.bar)],
      // A bar line at the end of the sound would begin a bar there; lengths say which bars are meant.
      other: Array.from({ length: Math.floor(tail / length) }, (_, i) => ({
        kind: 'bar-length',
        time: end + i * length,
        meter: plan.prevailing,
      })),
    });
  return doubts;
}

interface Start {
  readonly kind: 'beat' | 'downbeat';
  readonly time: number;
}

/** The sound before the map's first beat as whole bars, else as a pickup or a longer one, where there is room for a beat. */
function beforeFirst(first: Bar, begins: number, sounds: number, plan: SongPlan, start: number): Start | undefined {
  const { period } = plan.level;
  const length = beatsOf(plan.prevailing) * period;
  const beats = Math.round((first.start - sounds) / period);
  const bars = Math.round((beats * period) / length);
  const downbeat = first.start - bars * length;
  if (bars > 0 && downbeat >= start) return { kind: 'downbeat', time: downbeat };
  // Where the recording begins in the middle of the beat, the beat is what is left of it.
  const room = Math.floor((first.start - start) / period);
  const time = room < 1 ? sounds : first.start - Math.min(Math.max(1, beats), room) * period;
  return time < begins - LEAST_GAP ? { kind: 'beat', time } : undefined;
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
