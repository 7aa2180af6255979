import { msg, str } from '@lit/localize';
import { beatsOf, sameMeter } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import { clashes } from '../clashes.js';
import { sameValue } from '../same-value.js';
import { sameTime, TIME_TOLERANCE } from '../lock-holds.js';
import { NO_BEAT_RADIUS, type KeptLocks, type Lock, type MeterLock, type TapLock } from '../locks.js';
import { nextLockId } from '../ids.js';
import { indexOf, nearestPlace } from '../map-index.js';
import { barEnd, barsOf, beatTimes } from '../map-queries.js';
import type { SongMap } from '../song-map.js';
import { beatTempi } from '../tempo.js';
import { addLocks } from './add-locks.js';
import { toBarLines } from './bars.js';
import { LEAST_BEAT } from './beats.js';
import { EditProblem } from './problem.js';
import { relevelSpans, scaleMeter, type LevelFactor } from './relevel.js';
import { inStretch } from './supersede.js';

/** Longest beat that halving makes, in seconds: 10 beats a minute. */
const LONGEST_BEAT: Seconds = 6;

/** Within one tempo lock the slowest and the fastest bar differ by at most this factor. */
const TEMPO_SPREAD = 1.4;

/**
 * Half the tempo, from `from` to `to` (moved to the bar lines around them) or in the whole map: every second beat goes,
 * counted from each bar's first. The bars keep where they start and end, so a bar of 4 beats has 2, one of 3 has 1 1/2.
 * What the user decided is said at the new tempo, in one edit:
 *
 * - "this bar has 4 beats" becomes "2 beats": the same stretch of music. The same for a time signature of which the
 *   user fixed at least one whole bar; any other keeps its name (4/4 stays 4/4, and the solver makes bars twice as
 *   long), as it says how bars are counted, not where one ends.
 * - Tapped groups lose the beats that go, a lock on a beat that goes is out of force. Both, and whatever else could
 *   not be said exactly, stay with the new tempo lock (KeptLocks): doubling again brings them back as they were.
 * - Bar lines, free time and edges stay.
 *
 * The tempo is locked as measured there, in several locks where it changes much along the way. The spans are halved
 * too, as a first view; solve again. Throws EditProblem without beats there or beyond 10 beats a minute.
 */
export function halveTempo(map: SongMap, from?: Seconds, to?: Seconds): SongMap {
  return changeLevel(map, 0.5, from, to);
}

/**
 * Twice the tempo: the inverse of halveTempo. A beat comes half-way between every two, a bar of 4 beats has 8; tapped
 * groups gain the beats between. "No beat here" half-way between two beats is out of force. Up to 600 beats a minute.
 */
export function doubleTempo(map: SongMap, from?: Seconds, to?: Seconds): SongMap {
  return changeLevel(map, 2, from, to);
}

function changeLevel(map: SongMap, factor: LevelFactor, from = map.start, to = map.end): SongMap {
  const stretch = toBarLines(map, from, to);
  const tempi = tempiIn(map, stretch);
  if (tempi.length === 0)
    throw new EditProblem(msg('There are no beats there to count at another tempo: tap them first.'));
  for (const { period } of tempi) {
    const next = period / factor;
    const bpm = Math.round(60 / period);
    if (next < LEAST_BEAT) throw new EditProblem(msg(str`Twice ${bpm} bpm would be too fast to be counted as beats.`));
    if (next > LONGEST_BEAT)
      throw new EditProblem(msg(str`Half of ${bpm} bpm would be too slow to be counted as beats.`));
  }
  const after: SongMap = {
    ...map,
    spans: relevelSpans(map, factor, stretch.from, stretch.to),
    // The readings of doubts count beats of the old tempo.
    doubts: map.doubts.filter((doubt) => !isIn(stretch, doubt.time)),
  };
  const back = goingBack(map, factor, stretch);
  const lost: Kept[] = [];
  const locks: Lock[] = [];
  for (const was of map.locks) {
    const undone = back.changed.find(({ now }) => now?.id === was.id && sameValue(now, was));
    const [now, ...pieces] = undone ? [undone.was] : rewriteLock(map, after, factor, was, stretch);
    if (now) locks.push(now);
    for (const piece of pieces) locks.push({ ...piece, id: nextLockId([...map.locks, ...locks]) });
    if (!undone && !(now && isExact(was, now, factor))) lost.push(now ? { was, now } : { was });
  }
  for (const { was } of back.changed.filter(({ now }) => now === undefined)) {
    // What was decided since then counts more, be it in force at the new tempo or not.
    const since = [...locks, ...lost.map((kept) => kept.was)];
    if (locks.some(({ id }) => id === was.id) || clashes(since, was).length > 0) continue;
    const younger = locks.findIndex(({ id }) => ageOf(id) > ageOf(was.id));
    locks.splice(younger < 0 ? locks.length : younger, 0, was);
  }
  const drafts = tempi.map((tempo, i) => {
    // What begins before the stretch belongs to its first part.
    const isOwn = ({ was }: Kept): boolean => inStretch(was, i === 0 ? -Infinity : tempo.from, tempo.to);
    const groups = [{ ratio: 1 / factor, locks: lost }, ...back.older];
    const kept = groups.flatMap((group) => {
      const own = group.locks.filter(isOwn);
      return own.length === 0 ? [] : [{ ...group, locks: own }];
    });
    const draft = { kind: 'tempo', from: tempo.from, to: tempo.to, period: tempo.period / factor } as const;
    return kept.length === 0 ? draft : { ...draft, kept };
  });
  return addLocks({ ...after, locks }, drafts);
}

interface Stretch {
  readonly from: Seconds;
  readonly to: Seconds;
}

type Kept = KeptLocks['locks'][number];

function isIn({ from, to }: Stretch, time: Seconds): boolean {
  return time >= from - TIME_TOLERANCE && time < to - TIME_TOLERANCE;
}

/** The beat's duration along a stretch, in parts within which it changes little; none where there are no bars. */
function tempiIn(map: SongMap, stretch: Stretch): { from: Seconds; to: Seconds; period: Seconds }[] {
  const { bars, firstBeat } = indexOf(map);
  const tempi = beatTempi(map);
  const parts: { from: Seconds; low: Seconds; high: Seconds }[] = [];
  bars.forEach((bar, i) => {
    if (!isIn(stretch, bar.start)) return;
    const first = firstBeat[i] ?? 0;
    const periods = tempi.slice(first, first + bar.beats.length).map((tempo) => 60 / tempo);
    const low = Math.min(...periods);
    const high = Math.max(...periods);
    const part = parts[parts.length - 1];
    if (part && Math.max(part.high, high) / Math.min(part.low, low) <= TEMPO_SPREAD) {
      part.low = Math.min(part.low, low);
      part.high = Math.max(part.high, high);
    } else {
      parts.push({ from: parts.length === 0 ? stretch.from : bar.start, low, high });
    }
  });
  return parts.map(({ from, low, high }, i) => {
    return { from, to: parts[i + 1]?.from ?? stretch.to, period: Math.sqrt(low * high) };
  });
}

/**
 * What tempo locks in the stretch kept: `changed` when this change goes back to the tempo at which it was said; `older`
 * what goes on being kept for other tempi.
 */
function goingBack(map: SongMap, factor: LevelFactor, stretch: Stretch): { changed: Kept[]; older: KeptLocks[] } {
  const changed: Kept[] = [];
  const older: KeptLocks[] = [];
  for (const tempo of map.locks) {
    if (tempo.kind !== 'tempo') continue;
    if (tempo.to <= stretch.from + TIME_TOLERANCE || tempo.from >= stretch.to - TIME_TOLERANCE) continue;
    const whole = tempo.from >= stretch.from - TIME_TOLERANCE && tempo.to <= stretch.to + TIME_TOLERANCE;
    for (const { ratio, locks } of tempo.kept ?? []) {
      const own = locks.filter(({ was }) => whole || inStretch(was, stretch.from, stretch.to));
      if (ratio === factor) changed.push(...own);
      else if (own.length > 0) older.push({ ratio: ratio / factor, locks: own });
    }
  }
  return { changed, older };
}

/** What a lock is at the new tempo: the first piece has its id; none when it cannot be said. */
function rewriteLock(map: SongMap, after: SongMap, factor: LevelFactor, lock: Lock, stretch: Stretch): readonly Lock[] {
  switch (lock.kind) {
    case 'beat': {
      const goes = hasTime(beatTimes(map), lock.time) && !hasTime(beatTimes(after), lock.time);
      return goes ? [] : [lock];
    }
    case 'no-beat': {
      const comes = beatTimes(after).some(
        (beat) => Math.abs(beat - lock.time) < NO_BEAT_RADIUS && !hasTime(beatTimes(map), beat),
      );
      return comes ? [] : [lock];
    }
    case 'bar-length': {
      if (!isIn(stretch, lock.time)) return [lock];
      const meter = scaleMeter(lock.meter, factor);
      return meter ? [{ ...lock, meter }] : [];
    }
    case 'meter':
      return rewriteMeter(map, factor, lock, stretch);
    case 'tap':
      return rewriteTap(map, after, factor, lock, stretch);
    case 'downbeat':
    case 'not-downbeat':
    case 'tempo':
    case 'bar-lines':
    case 'free':
    case 'edge':
      return [lock];
  }
}

function rewriteMeter(map: SongMap, factor: LevelFactor, lock: MeterLock, stretch: Stretch): readonly Lock[] {
  const from = Math.max(lock.from, stretch.from);
  const to = Math.min(lock.to, stretch.to);
  const meter = scaleMeter(lock.meter, factor);
  if (from >= to || !meter || !Number.isInteger(beatsOf(meter)) || !hasFixedBar(map, lock, { from, to })) return [lock];
  const pieces: Lock[] = [{ ...lock, from, to, meter }];
  if (lock.from < from) pieces.push({ ...lock, to: from });
  if (lock.to > to) pieces.push({ ...lock, from: to });
  return pieces;
}

/** True when the user fixed start and length of some bar of this time signature. */
function hasFixedBar(map: SongMap, lock: MeterLock, stretch: Stretch): boolean {
  const fixed = map.locks.flatMap((other): readonly Seconds[] => {
    if (other.kind === 'downbeat' || other.kind === 'bar-length') return [other.time];
    if (other.kind === 'tap') return other.downbeats;
    return other.kind === 'bar-lines' ? other.starts : [];
  });
  fixed.sort((a, b) => a - b);
  return barsOf(map).some((bar, i) => {
    if (!isIn(stretch, bar.start) || bar.pickup || !sameMeter(bar.meter, lock.meter)) return false;
    if (map.locks.some((other) => other.kind === 'bar-length' && sameTime(other.time, bar.start))) return true;
    return hasTime(fixed, bar.start) && hasTime(fixed, barEnd(map, i));
  });
}

function rewriteTap(
  map: SongMap,
  after: SongMap,
  factor: LevelFactor,
  tap: TapLock,
  stretch: Stretch,
): readonly Lock[] {
  const inside = tap.beats.filter((beat) => isIn(stretch, beat));
  const first = tap.beats[0];
  const last = tap.beats[tap.beats.length - 1];
  if (inside.length === 0 || first === undefined || last === undefined) return [tap];
  const within = (time: Seconds): boolean =>
    isIn(stretch, time) && time >= first - TIME_TOLERANCE && time <= last + TIME_TOLERANCE;
  const old = beatTimes(map).filter(within);
  const isSolved = old.length === inside.length && inside.every((beat, i) => sameTime(beat, old[i] ?? NaN));
  const fresh = isSolved ? beatTimes(after).filter(within) : relevelTaps(tap, inside, factor);
  const beats = [
    ...tap.beats.filter((beat) => beat < (inside[0] ?? 0)),
    ...fresh,
    ...tap.beats.filter((beat) => beat > (inside[inside.length - 1] ?? 0)),
  ];
  if (beats.length === 0) return [];
  return [{ ...tap, beats, downbeats: tap.downbeats.filter((beat) => hasTime(beats, beat)) }];
}

/** Taps that the map does not follow yet: every second one counted from each beat 1, or one more between every two. */
function relevelTaps(tap: TapLock, inside: readonly Seconds[], factor: LevelFactor): readonly Seconds[] {
  if (factor === 2) {
    return inside.flatMap((beat) => {
      const next = tap.beats[tap.beats.indexOf(beat) + 1];
      return next === undefined ? [beat] : [beat, (beat + next) / 2];
    });
  }
  let place = 0;
  return inside.filter((beat) => {
    if (hasTime(tap.downbeats, beat)) place = 0;
    return place++ % 2 === 0;
  });
}

/** True when the change the other way alone would give back what was. */
function isExact(was: Lock, now: Lock, factor: LevelFactor): boolean {
  if (was === now) return true;
  if (was.kind === 'tap') return false;
  if ((was.kind === 'bar-length' || was.kind === 'meter') && was.kind === now.kind) {
    return sameValue(scaleMeter(now.meter, factor === 2 ? 0.5 : 2), was.meter);
  }
  return false;
}

function hasTime(times: readonly Seconds[], time: Seconds): boolean {
  return sameTime(times[nearestPlace(times, time)] ?? NaN, time);
}

function ageOf(id: string): number {
  return Number(id.replace(/\D/g, '')) || 0;
}
