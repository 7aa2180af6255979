import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import type { SolveOutcome } from '../../src/analysis/solve.js';
import { checkLocks } from '../../src/model/invariants.js';
import { NO_BEAT_RADIUS, type Lock } from '../../src/model/locks.js';
import type { Bar, Doubt, Recording, SongMap, Span } from '../../src/model/song-map.js';
import { beatStartsOf, COMMON_TIME, withBeats, type Meter } from '../../src/music/meter.js';

/** Beats of the grid: every half second from 1 s on, up to 1 s before the end. */
const FIRST = 1;
const BEAT = 0.5;

/** The first map on the grid: bars of 4; the version "test-2" hears bars of 3. */
export function gridMap(evidence: Evidence, recording: Recording, title: string): SongMap {
  const bare: SongMap = {
    title,
    recording,
    start: 0,
    end: recording.duration,
    spans: [],
    prevailing: COMMON_TIME,
    tuning: 0,
    sections: [],
    chords: [],
    locks: [],
    doubts: [],
    analysis: evidence.version,
  };
  const outcome = gridSolve(evidence, bare);
  if (!outcome.ok) throw new Error('the grid without locks has a conflict');
  return outcome.map;
}

/**
 * A solver for tests of the state: beats on a fixed grid, moved, added and left out by locks, bars of 4 between the bar
 * lines that locks ask for. Knows beat, no-beat, downbeat, not-downbeat and bar-length locks; whatever it cannot do with
 * all of them together is a conflict of all locks that do not hold and of those that forced what is.
 */
export function gridSolve(evidence: Evidence, map: SongMap): SolveOutcome {
  const usual = evidence.version === 'test-2' ? 3 : 4;
  const beats = gridBeats(map);
  const spans = gridSpans(map, beats, usual);
  const bars = spans.filter((span): span is Bar => span.kind === 'bar');
  const start = bars[0]?.start ?? map.start;
  const sections = map.sections.filter(({ start: at }) => bars.some((bar) => bar.start === at && at !== start));
  const first = map.sections[0] ?? { id: 'S1', name: 'Verse', letter: 'A', origin: 'suggested' as const };
  const solved: SongMap = {
    ...map,
    spans,
    sections: [{ ...first, start }, ...sections.filter(({ id }) => id !== first.id)],
    chords: map.chords,
    doubts: doubtsOf(map, bars, usual),
    analysis: evidence.version,
  };
  if (checkLocks(solved).length === 0) return { ok: true, map: solved };
  const broken = map.locks.filter((lock) => checkLocks({ ...solved, locks: [lock] }).length > 0);
  const near = (a: Lock): boolean =>
    a.kind === 'bar-length' && broken.some((b) => a !== b && Math.abs(timeOf(a) - timeOf(b)) < 4 * BEAT);
  const conflict = map.locks.filter((lock) => broken.includes(lock) || near(lock)).map(({ id }) => id);
  return { ok: false, conflict };
}

function gridBeats(map: SongMap): number[] {
  let beats: number[] = [];
  for (let i = 0; FIRST + i * BEAT < map.recording.duration - 1 + 1e-9; i += 1) beats.push(FIRST + i * BEAT);
  for (const lock of map.locks) {
    if (lock.kind === 'no-beat') beats = beats.filter((time) => Math.abs(time - lock.time) >= NO_BEAT_RADIUS);
    if (lock.kind === 'beat' || lock.kind === 'downbeat' || lock.kind === 'bar-length') {
      beats = [...beats.filter((time) => Math.abs(time - lock.time) >= 0.2), lock.time];
    }
  }
  return beats.sort((a, b) => a - b);
}

function gridSpans(map: SongMap, beats: readonly number[], usual: number): Span[] {
  const starts = map.locks.flatMap((lock) =>
    lock.kind === 'downbeat' || lock.kind === 'bar-length' ? [lock.time] : [],
  );
  const isStart = (time: number): boolean => starts.some((start) => Math.abs(start - time) < 1e-6);
  const isNone = (time: number): boolean =>
    map.locks.some((lock) => lock.kind === 'not-downbeat' && Math.abs(lock.time - time) < NO_BEAT_RADIUS);
  const spans: Span[] = [{ kind: 'lead-in', start: 0 }];
  let at = 0;
  while (at < beats.length - 1) {
    const start = beats[at] as number;
    const lock = map.locks.find((each) => each.kind === 'bar-length' && Math.abs(each.time - start) < 1e-6);
    let count = 0;
    let meter: Meter;
    if (lock?.kind === 'bar-length') {
      meter = lock.meter;
      count = beatStartsOf(meter);
    } else {
      while (count < usual || isNone(beats[at + count] ?? NaN)) {
        count += 1;
        if (isStart(beats[at + count] ?? NaN)) break;
      }
      meter = withBeats(COMMON_TIME, Math.min(count, beats.length - at));
    }
    count = Math.min(count, beats.length - at);
    if (count < beatStartsOf(meter)) break;
    spans.push({ kind: 'bar', start, beats: beats.slice(at, at + count), meter, confidence: lock ? 1 : 0.8 });
    at += count;
  }
  const end = beats[at] ?? (beats.at(-1) ?? 0) + BEAT;
  return [...spans, { kind: 'tail', start: end }];
}

/** Each bar of another length that nobody fixed is a doubt; so is every tenth bar. */
function doubtsOf(map: SongMap, bars: readonly Bar[], usual: number): Doubt[] {
  return bars.flatMap((bar, i): Doubt[] => {
    const fixed = map.locks.some((lock) => lock.kind === 'bar-length' && Math.abs(lock.time - bar.start) < 1e-6);
    const odd = bar.beats.length !== usual;
    if (fixed || (!odd && i % 5 !== 2)) return [];
    const other = bar.beats.length === 2 ? 4 : 2;
    const length = (beats: number) =>
      [{ kind: 'bar-length', time: bar.start, meter: withBeats(COMMON_TIME, beats) }] as const;
    return [
      {
        time: bar.start,
        weight: odd ? 0.9 : 0.2 + i / 100,
        kind: 'length',
        text: `${bar.beats.length} beats or ${other}?`,
        keep: length(bar.beats.length),
        other: length(other),
      },
    ];
  });
}

function timeOf(lock: Lock): number {
  return 'time' in lock ? lock.time : Infinity;
}
