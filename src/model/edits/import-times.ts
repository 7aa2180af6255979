import { msg } from '@lit/localize';
import { sameMeter, type Meter } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import { letterFor } from '../letters.js';
import type { Lock } from '../locks.js';
import { nearestBarLine } from '../map-queries.js';
import type { ChordMark, LockDraft, Section, SongMap } from '../song-map.js';
import { addLocks } from './add-locks.js';
import { cleanName } from './clean-name.js';
import { EditProblem } from './problem.js';

/** Beats, bars, chords and sections from elsewhere; see Imported of the readers. */
export interface Times {
  readonly runs: readonly { readonly beats: readonly Seconds[]; readonly downbeats: readonly Seconds[] }[];
  readonly barLines: readonly Seconds[];
  /** The commonest bar, where it is known. */
  readonly usual?: Meter;
  readonly meters: readonly { readonly time: Seconds; readonly meter: Meter }[];
  readonly free: readonly { readonly from: Seconds; readonly to: Seconds }[];
  readonly chords: readonly { readonly time: Seconds; readonly harte: string }[];
  readonly sections: readonly { readonly time: Seconds; readonly name: string }[];
}

/** The locks that imported times become: tapped groups, bar lines, odd bars, free time. */
export function timeLocks(map: SongMap, times: Times): readonly LockDraft[] {
  const inside = (time: Seconds): boolean => time >= map.start - 1e-6 && time < map.end;
  const taps = times.runs.flatMap(({ beats, downbeats }): LockDraft[] => {
    const own = beats.filter(inside);
    return own.length < 2 ? [] : [{ kind: 'tap', beats: own, downbeats: downbeats.filter(inside) }];
  });
  const starts = times.barLines.filter(inside);
  const drafts: readonly LockDraft[] = [
    ...(times.usual && !sameMeter(times.usual, map.prevailing)
      ? [{ kind: 'meter', from: map.start, to: map.end, meter: times.usual } as const]
      : []),
    ...times.free.map(({ from, to }): LockDraft => ({ kind: 'free', from, to: Math.min(to, map.end) })),
    ...taps,
    ...(starts.length > 1 ? [{ kind: 'bar-lines', starts } as const] : []),
    ...times.meters.filter(({ time }) => inside(time)).map((bar): LockDraft => ({ kind: 'bar-length', ...bar })),
  ];
  return drafts;
}

/** The map with imported beats and bars as locks, to be solved. Throws EditProblem where none lies inside the map. */
export function importTimes(map: SongMap, times: Times): SongMap {
  const drafts = timeLocks(map, times);
  if (drafts.length === 0) throw new EditProblem(msg('None of these times lies inside this recording.'));
  return addLocks(map, drafts);
}

/** The user's locks that imported times would replace or change. */
export function replacedLocks(map: SongMap, times: Times): readonly Lock[] {
  const drafts = timeLocks(map, times);
  const after = drafts.length === 0 ? map : addLocks(map, drafts);
  return map.locks.filter((lock) => !after.locks.includes(lock));
}

/** Chords and sections that the user typed and that imported ones would take the place of. */
export function replacedMarks(map: SongMap, times: Times): { readonly chords: number; readonly sections: number } {
  const typed = (list: readonly { readonly origin: string }[]): number =>
    list.filter(({ origin }) => origin === 'user').length;
  return {
    chords: times.chords.length > 0 ? typed(map.chords) : 0,
    sections: times.sections.length > 0 ? typed(map.sections) : 0,
  };
}

/**
 * The map with imported chords and sections in the place of its own: chords at their times, sections at the bar lines
 * nearest to theirs. For a map whose bars are solved already.
 */
export function importMarks(map: SongMap, times: Times): SongMap {
  const chords = times.chords.map(({ time, harte }): ChordMark => ({ time, harte, origin: 'user', confidence: 1 }));
  const sections: Section[] = [];
  for (const { time, name } of times.sections) {
    const start = nearestBarLine(map, time);
    const known = sections.at(-1);
    if (start === undefined || name.trim() === '' || start >= lastLine(map)) continue;
    if (known && start <= known.start) continue;
    const clean = cleanName(name.slice(0, 200));
    const id = `S${sections.length + 1}`;
    const letter = letterFor(clean, undefined, sections);
    sections.push({ id, name: clean, letter, start, anchor: time, origin: 'user' });
  }
  const first = map.sections[0]?.start;
  // Sections tile the bars: the first begins with the first bar.
  const tiled = sections.map((section, i) => (i === 0 && first !== undefined ? { ...section, start: first } : section));
  return {
    ...map,
    ...(chords.length > 0 ? { chords: withinMap(map, chords) } : {}),
    ...(tiled.length > 0 ? { sections: tiled } : {}),
  };
}

function withinMap(map: SongMap, chords: readonly ChordMark[]): readonly ChordMark[] {
  return chords.filter(
    ({ time }, i) => time >= map.start && time < map.end && time > (chords[i - 1]?.time ?? -1) + 1e-6,
  );
}

function lastLine(map: SongMap): Seconds {
  const last = map.spans.at(-1);
  return last?.kind === 'tail' ? last.start : map.end;
}
