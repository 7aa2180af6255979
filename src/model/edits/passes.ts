import { msg, str } from '@lit/localize';
import { beatStartsOf, beatsOf, sameMeter } from '../../music/meter.js';
import { transposeChord } from '../../music/transpose.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { clashes } from '../clashes.js';
import { describeLock } from '../describe-lock.js';
import { sameTime } from '../lock-holds.js';
import type { Lock } from '../locks.js';
import { indexOf } from '../map-index.js';
import { barNumber, barOf, chordsInBar } from '../map-queries.js';
import { isTyped, sameChords, soundingInBar } from '../pass-chords.js';
import { barInPass, isIgnored, type PassDifference, type PassTable } from '../pass-table.js';
import type { LockDraft, SongMap } from '../song-map.js';
import { addLocks } from './add-locks.js';
import { setChords } from './chords.js';
import { EditProblem } from './problem.js';

/** The user does not want to hear of a difference any more. */
export function ignoreDifference(map: SongMap, { kind, time }: Pick<PassDifference, 'kind' | 'time'>): SongMap {
  if (isIgnored(map, { kind, time })) return map;
  return { ...map, ignored: [...(map.ignored ?? []), { kind, time }] };
}

/** The user wants to hear of an ignored difference again. */
export function heedDifference(map: SongMap, difference: Pick<PassDifference, 'kind' | 'time'>): SongMap {
  const { ignored, ...rest } = map;
  const kept = (ignored ?? []).filter((one) => !isIgnored({ ...map, ignored: [one] }, difference));
  if (kept.length === (ignored ?? []).length) return map;
  return kept.length > 0 ? { ...rest, ignored: kept } : rest;
}

/** What is to be made the same: columns `firstColumn` to `lastColumn` of pass `from` are copied to the passes `to`. */
export interface SameRequest {
  readonly table: PassTable;
  readonly from: number;
  readonly to: readonly number[];
  readonly firstColumn: number;
  readonly lastColumn: number;
  readonly what: 'chords' | 'lengths';
}

/** The map with the copies, how many bars they change, and what could not be copied or gave way, a sentence each. */
export interface SameOutcome {
  readonly map: SongMap;
  readonly changed: number;
  readonly notes: readonly string[];
}

/**
 * Copies chords or bar lengths from one pass to others, as the user's own: chords as typed ones (in the key of the pass
 * they go to), lengths as locks, to be solved again. One edit, so one undo takes it all back. Throws EditProblem when
 * nothing differs or nothing can be copied.
 */
export function makeSame(map: SongMap, request: SameRequest): SameOutcome {
  const { table, from, to, firstColumn, lastColumn, what } = request;
  if (!table.passes[from]) throw new EditProblem(msg('That pass is not there any more: choose another one.'));
  const columns = table.columns.slice(firstColumn, lastColumn + 1);
  const outcome = to
    .filter((pass) => pass !== from && table.passes[pass])
    .reduce<SameOutcome>(
      (before, pass) => {
        const pairs = columns.map(({ bars }) => [bars[from] ?? null, bars[pass] ?? null] as const);
        const next =
          what === 'chords'
            ? copyChords(before.map, table, from, pass, pairs)
            : copyLengths(map, before.map, table, pass, pairs);
        return { map: next.map, changed: before.changed + next.changed, notes: [...before.notes, ...next.notes] };
      },
      { map, changed: 0, notes: [] },
    );
  if (outcome.changed > 0) return outcome;
  const [reason] = outcome.notes;
  const alike =
    what === 'chords'
      ? msg('These bars have the same chords already.')
      : msg('These bars have the same lengths already.');
  throw new EditProblem(reason ?? alike);
}

type BarPairs = readonly (readonly [source: BarIndex | null, target: BarIndex | null])[];

function copyChords(map: SongMap, table: PassTable, from: number, to: number, pairs: BarPairs): SameOutcome {
  const shift = (table.passes[to]?.shift ?? 0) - (table.passes[from]?.shift ?? 0);
  const notes: string[] = [];
  let now = map;
  let changed = 0;
  let typed = 0;
  for (const [source, target] of pairs) {
    if (source === null || target === null) continue;
    const length = beatsOf((barOf(map, target) as NonNullable<ReturnType<typeof barOf>>).meter);
    const wanted = soundingInBar(map, source).map(({ beat, harte }) => ({
      beat,
      harte: transposeChord(harte, shift, map.key),
    }));
    const fitting = wanted.filter(({ beat }) => beat < length - 1e-6);
    if (fitting.length === 0 || (sameChords(soundingInBar(now, target), fitting, length) && isTyped(now, target)))
      continue;
    if (fitting.length < wanted.length) {
      const name = barName(map, table, to, target);
      notes.push(msg(str`${name} is shorter: the last of the chords found no place in it.`));
    }
    if (chordsInBar(now, target).some(({ chord }) => chord.origin === 'user')) typed += 1;
    now = setChords(now, target, fitting);
    changed += 1;
  }
  if (typed > 0) {
    const pass = to + 1;
    notes.push(
      typed === 1
        ? msg(str`In pass ${pass}, chords that you had typed into a bar gave way.`)
        : msg(str`In pass ${pass}, chords that you had typed into ${typed} bars gave way.`),
    );
  }
  return { map: now, changed, notes: [...notes, ...missing(to, pairs)] };
}

/**
 * Each target bar in turn starts where the one before, with its new length, ends. Bars are counted through on the beats
 * that are there; the beats themselves stay. Lengths that the user had given to these bars give way.
 */
function copyLengths(map: SongMap, now: SongMap, table: PassTable, to: number, pairs: BarPairs): SameOutcome {
  const { beats, firstBeat } = indexOf(map);
  const notes: string[] = [];
  const drafts: LockDraft[] = [];
  const gone = new Set<Lock>();
  let next: number | undefined;
  for (const [source, target] of pairs) {
    const copied = source === null ? undefined : barOf(map, source);
    const own = target === null ? undefined : barOf(map, target);
    if (!copied || !own || target === null) continue;
    const at: number = next ?? (firstBeat[target] as number);
    if (at === firstBeat[target] && sameMeter(copied.meter, own.meter)) {
      next = undefined;
      continue;
    }
    next = at + beatStartsOf(copied.meter);
    const name = barName(map, table, to, target);
    const time: Seconds | undefined = beats[at];
    if (time === undefined) {
      notes.push(msg(str`${name} would begin after the last beat: not copied.`));
      break;
    }
    const draft: LockDraft = { kind: 'bar-length', time, meter: copied.meter };
    const against = clashes(now.locks, draft).find((lock) => lock.kind !== 'bar-length');
    if (against) {
      const set = describeLock(against, map);
      notes.push(msg(str`${name} stays as it is: you have set that ${set}.`));
      next = undefined;
      continue;
    }
    const decided = now.locks.find((lock) => lock.kind === 'bar-length' && sameTime(lock.time, own.start));
    if (decided) {
      gone.add(decided);
      const set = describeLock(decided, map);
      notes.push(msg(str`You had set that ${set}: that gave way.`));
    }
    drafts.push(draft);
  }
  const open = gone.size > 0 ? { ...now, locks: now.locks.filter((lock) => !gone.has(lock)) } : now;
  return { map: addLocks(open, drafts), changed: drafts.length, notes: [...notes, ...missing(to, pairs)] };
}

/** Bars without a partner cannot be copied to or from: said once a pass. */
function missing(to: number, pairs: BarPairs): string[] {
  const lacks = pairs.filter(([source, target]) => source !== null && target === null).length;
  const more = pairs.filter(([source, target]) => source === null && target !== null).length;
  const pass = to + 1;
  const lacking =
    lacks === 1
      ? msg(str`Pass ${pass} has one bar less: set its bar lines by hand.`)
      : msg(str`Pass ${pass} has ${lacks} bars less: set its bar lines by hand.`);
  const left =
    more === 1
      ? msg(str`Pass ${pass} has one bar more: left as it is.`)
      : msg(str`Pass ${pass} has ${more} bars more: left as they are.`);
  return [...(lacks > 0 ? [lacking] : []), ...(more > 0 ? [left] : [])];
}

function barName(map: SongMap, table: PassTable, pass: number, bar: BarIndex): string {
  const own = table.passes[pass];
  const number = own ? barInPass(own, bar) : barNumber(map, bar);
  return own ? msg(str`Bar ${number} of pass ${pass + 1}`) : msg(str`Bar ${number}`);
}
