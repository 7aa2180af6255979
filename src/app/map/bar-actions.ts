import { msg, str } from '@lit/localize';
import {
  clearDownbeat,
  isBarLocked,
  lockBar,
  meterWithBeats,
  setBarBeats,
  setBarMeter,
  setDownbeat,
  setMeter,
  theBar,
} from '../../model/edits/bars.js';
import { EditProblem } from '../../model/edits/problem.js';
import { sameTime } from '../../model/lock-holds.js';
import {
  barName,
  barOf,
  barStartingAt,
  barsOf,
  nearestBar,
  nearestBeat,
  prevailingAt,
} from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { meterText, sameMeter, type Meter } from '../../music/meter.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { barsText, beatsText, placeText } from '../kit/sentences.js';
import type { Editing } from '../song/editing.js';

/** The bar has so many beats. */
export async function setBeatsOfBar(session: Editing, bar: BarIndex, beats: number): Promise<void> {
  const map = session.song.value?.map;
  const start = map && barOf(map, bar)?.start;
  if (!map || start === undefined) return;
  await session.edit(`${barName(map, bar)}: ${beatsText(beats)}`, (now) => {
    const again = barAgain(now, start);
    // Saying once more what is fixed already is no edit.
    const isSo = isBarLocked(now, again) && sameMeter(theBar(now, again).meter, meterWithBeats(now, again, beats));
    return isSo ? now : setBarBeats(now, again, beats);
  });
}

/** The bar is half a beat longer (0.5) or shorter (-0.5) than it is. */
export async function lengthenBar(session: Editing, bar: BarIndex, by: 0.5 | -0.5): Promise<void> {
  const map = session.song.value?.map;
  const found = map && barOf(map, bar);
  if (!map || !found) return;
  // Lengths are set in beats that prevail there: a bar of 7/8 among quarters has three and a half.
  const { unit, beatUnits } = prevailingAt(map, found.start);
  const beats = (found.meter.count * unit) / (found.meter.unit * beatUnits);
  await setBeatsOfBar(session, bar, Math.round((beats + by) * 2) / 2);
}

/** A bar starts on the beat nearest to `time`, or no longer does. */
export async function toggleBarStart(session: Editing, time: Seconds): Promise<void> {
  const map = session.song.value?.map;
  const beat = map && nearestBeat(map, time);
  if (!map || !beat) return;
  const bar = barOf(map, beat.bar);
  const starts = beat.beat === 0 && bar?.pickup !== true;
  const label = starts
    ? msg(str`no bar starts at ${placeText(map, beat.start)}`)
    : msg(str`a bar starts at ${placeText(map, beat.start)}`);
  await session.edit(label, (now) => (starts ? clearDownbeat(now, beat.start) : setDownbeat(now, beat.start)));
}

/** Makes the bar firm as it stands. */
export async function acceptBar(session: Editing, bar: BarIndex): Promise<void> {
  const map = session.song.value?.map;
  const start = map && barOf(map, bar)?.start;
  if (!map || start === undefined || isBarLocked(map, bar)) return;
  await session.edit(msg(str`${barName(map, bar)} accepted`), (now) => lockBar(now, barAgain(now, start)));
}

/** The bars, or the whole song without a range, are in this time signature; one bar takes it as its own length. */
export async function setTimeSignature(
  session: Editing,
  range: { readonly first: BarIndex; readonly last: BarIndex } | undefined,
  meter: Meter,
): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  if (!range) {
    await session.edit(msg(str`${meterText(meter)} throughout`), (now) => setMeter(now, now.start, now.end, meter));
    return;
  }
  const bars = barsOf(map);
  const from = bars[range.first]?.start;
  const last = bars[range.last];
  if (from === undefined || !last) return;
  const label = `${barsText(map, range.first, range.last)}: ${meterText(meter)}`;
  if (range.first === range.last) {
    await session.edit(label, (now) => setBarMeter(now, barAgain(now, from), meter));
    return;
  }
  const to = last.beats.at(-1) ?? last.start;
  await session.edit(label, (now) => setMeter(now, from, to, meter));
}

/** The bar that started at `start` when the user acted; edits before this one may have changed its number. */
export function barAgain(map: SongMap, start: Seconds): BarIndex {
  const exact = barStartingAt(map, start);
  if (exact !== undefined) return exact;
  const near = nearestBar(map, start);
  const time = near === undefined ? undefined : barOf(map, near)?.start;
  if (near !== undefined && time !== undefined && (sameTime(time, start) || Math.abs(time - start) < STILL_THE_SAME))
    return near;
  throw new EditProblem(
    msg('That bar is no longer where it was: an edit before this one moved its start. Choose it again.'),
  );
}

/** Seconds by which a bar's start may have moved and still be meant. */
const STILL_THE_SAME: Seconds = 0.07;
