import { sameMeter, type Meter } from '../music/meter.js';
import type { Seconds } from '../music/units.js';
import { countUpTo, indexOf, nearestPlace, nearestTime } from './map-index.js';
import { NO_BEAT_RADIUS, type Lock } from './locks.js';
import { median } from './median.js';
import type { Bar, Span } from './song-map.js';

/** Two times closer than this, in seconds, are the same time. */
export const TIME_TOLERANCE: Seconds = 1e-6;

/** True when two times are the same to TIME_TOLERANCE. */
export function sameTime(a: Seconds, b: Seconds): boolean {
  return Math.abs(a - b) <= TIME_TOLERANCE;
}

/** True when two meters are the same and, where `wanted` names a grouping, `found` has that grouping. */
export function meterFits(found: Meter, wanted: Meter): boolean {
  if (!sameMeter(found, wanted)) return false;
  return wanted.grouping === undefined || wanted.grouping.join('+') === (found.grouping ?? []).join('+');
}

/**
 * True when `spans` (tiling [start, end]) do what `lock` says. This is the one definition of a lock that holds:
 *
 * - beat: some bar has a beat at `time`.
 * - no-beat: every beat lies at least NO_BEAT_RADIUS from `time`.
 * - downbeat: a bar that is no pickup starts at `time`. (The first beat of a pickup is not a beat 1.)
 * - not-downbeat: no bar other than a pickup starts less than NO_BEAT_RADIUS from `time`.
 * - bar-length: a bar, a pickup too, starts at `time` with that meter, and with its grouping where it names one.
 * - meter: of the bars that start in [from, to), pickup aside, no other length is commoner than that of `meter`.
 * - tempo: of the beats that begin and end in [from, to], the median duration of any five in a row (of all in a row, if
 *   fewer) is at most a factor of the square root of 2 from `period`; so a single moved beat breaks no tempo. A part of
 *   a beat at the end of a bar counts by its share; bars on either side of a free stretch are not in a row.
 * - tap: the beats in [first, last] are exactly these and no free stretch lies between them; if `downbeats` are given,
 *   the bars other than a pickup that start there are exactly those.
 * - bar-lines: the bars other than a pickup that start in [first, last] are exactly `starts`.
 * - free: everything of [from, to] that lies in the map is free stretch.
 * - edge: `start` or `end` is `time`.
 *
 * Times are compared to TIME_TOLERANCE. What a lock asks outside [start, end] does not hold (no beat is there), except
 * that meter, tempo and free speak of the part inside only.
 */
export function holds(spans: readonly Span[], lock: Lock, start: Seconds, end: Seconds): boolean {
  const { beats, lines, bars, barOfBeat } = indexOf({ spans, end });
  switch (lock.kind) {
    case 'beat':
      return sameTime(nearestTime(beats, lock.time), lock.time);
    case 'no-beat':
      return !isNear(nearestTime(beats, lock.time), lock.time);
    case 'downbeat':
      return sameTime(nearestTime(lines, lock.time), lock.time);
    case 'not-downbeat':
      return !isNear(nearestTime(lines, lock.time), lock.time);
    case 'bar-length': {
      const bar = bars[barOfBeat[nearestPlace(beats, lock.time)] ?? -1];
      return bar !== undefined && sameTime(bar.start, lock.time) && meterFits(bar.meter, lock.meter);
    }
    case 'meter':
      return meterPrevails(bars, lock.meter, lock.from, lock.to);
    case 'tempo':
      return tempoFits(spans, lock.period, lock.from, lock.to, end);
    case 'tap': {
      const first = lock.beats[0];
      const last = lock.beats[lock.beats.length - 1];
      if (first === undefined || last === undefined) return true;
      if (!sameTimes(within(beats, first, last), lock.beats)) return false;
      if (kindsBetween(spans, first, last, end).some((kind) => kind !== 'bar')) return false;
      return lock.downbeats.length === 0 || sameTimes(within(lines, first, last), lock.downbeats);
    }
    case 'bar-lines': {
      const first = lock.starts[0];
      const last = lock.starts[lock.starts.length - 1];
      if (first === undefined || last === undefined) return true;
      return sameTimes(within(lines, first, last), lock.starts);
    }
    case 'free':
      return kindsBetween(spans, Math.max(lock.from, start), Math.min(lock.to, end), end).every((k) => k === 'free');
    case 'edge':
      return sameTime(lock.edge === 'start' ? start : end, lock.time);
  }
}

/** How many beats in a row a tempo lock judges together. */
const TEMPO_RUN = 5;

function isNear(a: Seconds, b: Seconds): boolean {
  return Math.abs(a - b) < NO_BEAT_RADIUS - TIME_TOLERANCE;
}

function within(times: readonly Seconds[], first: Seconds, last: Seconds): readonly Seconds[] {
  return times.slice(countUpTo(times, first - TIME_TOLERANCE), countUpTo(times, last + TIME_TOLERANCE));
}

function sameTimes(a: readonly Seconds[], b: readonly Seconds[]): boolean {
  return a.length === b.length && a.every((time, i) => sameTime(time, b[i] ?? NaN));
}

/** Kinds of the spans that share more than a rounding error with [from, to]. */
function kindsBetween(spans: readonly Span[], from: Seconds, to: Seconds, end: Seconds): Span['kind'][] {
  return spans
    .filter((span, i) => {
      const spanEnd = spans[i + 1]?.start ?? end;
      return Math.min(spanEnd, to) - Math.max(span.start, from) > 2 * TIME_TOLERANCE;
    })
    .map((span) => span.kind);
}

function meterPrevails(bars: readonly Bar[], meter: Meter, from: Seconds, to: Seconds): boolean {
  const counts: { meter: Meter; count: number }[] = [{ meter, count: 0 }];
  for (const bar of bars) {
    if (bar.pickup || bar.start < from - TIME_TOLERANCE || bar.start >= to - TIME_TOLERANCE) continue;
    const known = counts.find((entry) => sameMeter(entry.meter, bar.meter));
    if (known) known.count++;
    else counts.push({ meter: bar.meter, count: 1 });
  }
  const [own, ...others] = counts;
  return others.every((other) => own !== undefined && other.count <= own.count);
}

function tempoFits(spans: readonly Span[], period: Seconds, from: Seconds, to: Seconds, end: Seconds): boolean {
  let run: Seconds[] = [];
  let previousEnd = NaN;
  let judged = true;
  const judge = (): void => {
    const window = Math.min(TEMPO_RUN, run.length);
    for (let i = 0; window > 0 && i + window <= run.length; i++) {
      const ratio = median(run.slice(i, i + window)) / period;
      if (Math.max(ratio, 1 / ratio) > Math.SQRT2 * (1 + 1e-6)) judged = false;
    }
    run = [];
  };
  spans.forEach((span, s) => {
    if (span.kind !== 'bar') return;
    const barEnd = spans[s + 1]?.start ?? end;
    const { count, beatUnits } = span.meter;
    const lastIsPart = count % beatUnits !== 0;
    span.beats.forEach((beat, i) => {
      const isLast = i === span.beats.length - 1;
      const beatEnd = isLast ? barEnd : (span.beats[i + 1] ?? barEnd);
      if (beat < from - TIME_TOLERANCE || beatEnd > to + TIME_TOLERANCE) return;
      if (run.length > 0 && !sameTime(beat, previousEnd)) judge();
      previousEnd = beatEnd;
      // A part of a beat at the end of a bar has its share of the period.
      run.push(isLast && lastIsPart ? ((beatEnd - beat) * beatUnits) / (count % beatUnits) : beatEnd - beat);
    });
  });
  judge();
  return judged;
}
