import { msg, str } from '@lit/localize';
import { setEdge } from '../../model/edits/edge.js';
import { addBeat, deleteBeat, moveBeat, setFree } from '../../model/edits/beats.js';
import { liftLocks, locksAt } from '../../model/edits/lift.js';
import { describeLock } from '../../model/describe-lock.js';
import { barEnd, barsOf, beatAt, nearestBeat } from '../../model/map-queries.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { clockText } from '../../music/clock-text.js';
import { barsText, counted, placeText } from '../kit/sentences.js';
import { nearestAttack } from './taps.js';
import type { Editing } from '../song/editing.js';

/** The beat at `from` is at `to` instead. */
export async function moveBeatTo(session: Editing, from: Seconds, to: Seconds): Promise<void> {
  const map = session.song.value?.map;
  if (!map || from === to) return;
  const ms = Math.round((to - from) * 1000);
  const place = placeText(map, from);
  const label = ms < 0 ? msg(str`beat at ${place} ${-ms} ms earlier`) : msg(str`beat at ${place} ${ms} ms later`);
  await session.edit(label, (now) => moveBeat(now, from, to));
  session.view.cursor.value = to;
}

/** The beat nearest to `time` goes to the attack nearest to it. */
export async function moveBeatToAttack(session: Editing, time: Seconds): Promise<void> {
  const song = session.song.value;
  const beat = song && nearestBeat(song.map, time);
  if (!song || !beat) return;
  const to = nearestAttack(song.evidence, beat.start);
  if (Math.abs(to - beat.start) < 1e-3) {
    session.say({ kind: 'info', text: msg('There is no other attack close to this beat.') });
    return;
  }
  await moveBeatTo(session, beat.start, to);
}

/** A beat more: at `time`, or, when a beat is there already, half-way to the next one. */
export async function insertBeat(session: Editing, time: Seconds): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const here = beatAt(map, time);
  const onBeat = here !== undefined && time - here.start < ON_BEAT;
  const place = onBeat ? (here.start + here.end) / 2 : time;
  await session.edit(msg(str`a beat more at ${placeText(map, place)}`), (now) => addBeat(now, place));
}

/** The beat nearest to `time` is none. */
export async function removeBeat(session: Editing, time: Seconds): Promise<void> {
  const map = session.song.value?.map;
  const beat = map && nearestBeat(map, time);
  if (!map || !beat) return;
  await session.edit(msg(str`no beat at ${placeText(map, beat.start)}`), (now) => deleteBeat(now, beat.start));
}

/** The bars have no steady beat. */
export async function freeBars(session: Editing, range: { first: BarIndex; last: BarIndex }): Promise<void> {
  const map = session.song.value?.map;
  const from = map && barsOf(map)[range.first]?.start;
  if (!map || from === undefined) return;
  await freeStretch(session, from, barEnd(map, range.last), barsText(map, range.first, range.last));
}

/** From `from` to `to` there is no steady beat. */
export async function freeStretch(session: Editing, from: Seconds, to: Seconds, name?: string): Promise<void> {
  const what = name ?? msg(str`${clockText(from)} to ${clockText(to)}`);
  await session.edit(msg(str`free time: ${what}`), (now) => setFree(now, from, to));
}

/** The map begins or ends at `time`. */
export async function setMapEdge(session: Editing, edge: 'start' | 'end', time: Seconds): Promise<void> {
  const place = clockText(time);
  const label = edge === 'start' ? msg(str`the map starts at ${place}`) : msg(str`the map ends at ${place}`);
  await session.edit(label, (now) => setEdge(now, edge, time));
}

/** Takes back the locks at `time`: those on the beat, else those of the bar or stretch around it. */
export async function liftLocksAt(session: Editing, time: Seconds): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const ids = locksAt(map, time);
  if (ids.length === 0) {
    session.say({ kind: 'info', text: msg(str`There is no lock at ${placeText(map, time)}.`) });
    return;
  }
  await liftLocksById(session, ids);
}

/** Takes these locks back, as one edit. */
export async function liftLocksById(session: Editing, ids: readonly string[]): Promise<void> {
  const map = session.song.value?.map;
  const locks = map?.locks.filter((lock) => ids.includes(lock.id)) ?? [];
  const [first] = locks;
  if (!map || !first) return;
  const what = locks.length === 1 ? describeLock(first, map) : counted(locks.length, msg('lock'), msg('locks'));
  await session.edit(msg(str`lifted: ${what}`), (now) => liftLocks(now, ids));
}

/** A cursor this close after a beat is on it, in seconds. */
const ON_BEAT: Seconds = 0.03;
