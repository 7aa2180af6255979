import { msg, str } from '@lit/localize';
import { beatStartsOf, type Meter } from '../music/meter.js';
import { strumFault } from '../music/strum.js';
import type { Seconds } from '../music/units.js';
import { describeLock, timeText } from './describe-lock.js';
import { holds, sameTime, TIME_TOLERANCE } from './lock-holds.js';
import type { Lock } from './locks.js';
import { nearestPlace } from './map-index.js';
import { barsOf, barStartingAt, spanAt } from './map-queries.js';
import { HIGHEST_CAPO } from '../music/capo.js';
import type { ChosenShape, Fingered, LockDraft, SongMap } from './song-map.js';

/**
 * Everything that is wrong with a map, in words; empty when it is sound. A violated invariant is a bug (or a broken
 * file), never something to show as a map:
 *
 * - All numbers are finite and in their range; 0 <= start < end <= the recording's duration.
 * - Spans tile [start, end]; a lead-in is only the first, a tail only the last.
 * - A bar's beats ascend inside it from its start, as many as its meter has.
 * - Only the first bar and the first after a free stretch may be a pickup, and a whole bar follows it.
 * - Sections tile the bars: the first starts with the first bar, each with a bar, ascending; none without bars.
 * - Chords ascend, inside the recording; suggested ones lie in bars or free stretches. (A typed chord outlives the bar
 *   it was typed into.)
 * - Transposition and capo lie within their bounds; a chosen shape has a fret for each string.
 * - Doubts stand on starts of bars; ignored differences have a time. Ids of locks, and of sections, are different from one another.
 *
 * Whether the locks hold is a question of its own: see checkLocks.
 */
export function check(map: SongMap): string[] {
  return [
    ...checkWhole(map),
    ...checkSpans(map),
    ...checkSections(map),
    ...checkChords(map),
    ...map.locks.flatMap((lock) => checkLock(lock)),
    ...(sameIds(map.locks) ? [msg('two locks have the same id')] : []),
    ...(sameIds(map.sections) ? [msg('two sections have the same id')] : []),
    ...checkDoubts(map),
    ...(map.arrangements ?? []).flatMap(({ name, items }) =>
      items.every(({ time, early = 0 }) => isTime(time) && Number.isInteger(early) && early >= 0)
        ? []
        : [msg(str`the arrangement ${name} plays what cannot be`)],
    ),
    ...checkFingered(map.fingered ?? {}),
    ...(map.ignored ?? []).flatMap(({ kind, time }) =>
      isTime(time) ? [] : [msg(str`an ignored ${kind} is at ${said(time)}`)],
    ),
  ];
}

function checkFingered({ transpose = 0, capo = 0, shapes = [] }: Fingered): string[] {
  const frets = (each: ChosenShape): boolean => each.frets.length === each.strings.split(' ').length;
  return [
    ...(Number.isInteger(transpose) && Math.abs(transpose) <= 11 ? [] : [msg(str`the song is moved by ${transpose}`)]),
    ...(Number.isInteger(capo) && capo >= 0 && capo <= HIGHEST_CAPO ? [] : [msg(str`the capo is on fret ${capo}`)]),
    ...shapes
      .filter((each) => !frets(each))
      .map(({ harte }) => msg(str`the shape of ${harte} does not fit its strings`)),
  ];
}

/** One sentence for each lock that the map's spans do not do; empty when every lock holds. */
export function checkLocks(map: SongMap): string[] {
  return map.locks
    .filter((lock) => !holds(map.spans, lock, map.start, map.end))
    .map((lock) => msg(str`lock ${lock.id} does not hold: ${describeLock(lock, map)}`));
}

function checkWhole(map: SongMap): string[] {
  const { duration, sampleRate, channels } = map.recording;
  const found: string[] = [];
  if (!(finite(duration) && duration > 0)) found.push(msg(str`the recording lasts ${duration} s`));
  if (!(finite(sampleRate) && sampleRate > 0)) found.push(msg(str`the recording's sample rate is ${sampleRate}`));
  if (!(Number.isInteger(channels) && channels > 0)) found.push(msg(str`the recording has ${channels} channels`));
  if (!(finite(map.start) && finite(map.end) && map.start >= 0 && map.start < map.end)) {
    found.push(msg(str`the map runs from ${said(map.start)} to ${said(map.end)}`));
  }
  if (map.end > duration + TIME_TOLERANCE)
    found.push(msg(str`the map ends at ${said(map.end)}, after the recording (${said(duration)})`));
  if (!inRange(map.tuning, -50, 50)) found.push(msg(str`the tuning is ${map.tuning} cents`));
  if (map.key && !inRange(map.key.confidence, 0, 1))
    found.push(msg(str`the key's confidence is ${map.key.confidence}`));
  return [...found, ...checkMeter(map.prevailing, msg('the prevailing time signature'))];
}

/** What is wrong with a meter, in words that begin with `name`. */
export function checkMeter(meter: Meter, name: string): string[] {
  const { count, unit, beatUnits, grouping } = meter;
  const found: string[] = [];
  if (!(Number.isInteger(count) && count >= 1)) found.push(msg(str`${name} counts ${count} units`));
  if (![1, 2, 4, 8, 16].includes(unit)) found.push(msg(str`${name} has the unit ${unit}`));
  if (!(Number.isInteger(beatUnits) && beatUnits >= 1)) found.push(msg(str`${name} has beats of ${beatUnits} units`));
  if (grouping && (grouping.some((n) => !(Number.isInteger(n) && n >= 1)) || sum(grouping) !== count)) {
    found.push(msg(str`${name} has groups (${grouping.join('+')}) that do not add up to ${count}`));
  }
  return found;
}

function checkSpans(map: SongMap): string[] {
  const { spans } = map;
  const found: string[] = [];
  if (spans[0]?.start !== map.start)
    found.push(msg(str`the first span starts at ${said(spans[0]?.start)}, the map at ${said(map.start)}`));
  spans.forEach((span, i) => {
    const end = spans[i + 1]?.start ?? map.end;
    const name = `span ${i} (${span.kind})`;
    if (!(finite(span.start) && span.start < end))
      found.push(msg(str`${name} runs from ${said(span.start)} to ${said(end)}`));
    if (span.kind === 'lead-in' && i !== 0) found.push(msg(str`${name} is not the first`));
    if (span.kind === 'tail' && i !== spans.length - 1) found.push(msg(str`${name} is not the last`));
    if (span.kind !== 'bar') return;
    if (span.beats[0] !== span.start)
      found.push(msg(str`${name}: its first beat is at ${said(span.beats[0])}, not at ${said(span.start)}`));
    const ascending = span.beats.every((beat, b) => finite(beat) && beat < (span.beats[b + 1] ?? end));
    if (!ascending) found.push(msg(str`${name}: its beats do not ascend inside it`));
    const wrong = checkMeter(span.meter, name);
    found.push(...wrong);
    if (wrong.length === 0 && span.beats.length !== beatStartsOf(span.meter)) {
      found.push(msg(str`${name}: ${span.beats.length} beats for ${span.meter.count}/${span.meter.unit}`));
    }
    if (!inRange(span.confidence, 0, 1)) found.push(msg(str`${name}: its confidence is ${span.confidence}`));
    if (span.pickup) {
      const next = spans[i + 1];
      if (spans[i - 1]?.kind === 'bar') found.push(msg(str`${name}: a pickup behind another bar`));
      if (next?.kind !== 'bar' || next.pickup) found.push(msg(str`${name}: no whole bar follows the pickup`));
    }
  });
  return found;
}

function checkSections(map: SongMap): string[] {
  const bars = barsOf(map);
  const found: string[] = [];
  if (bars.length > 0 && map.sections.length === 0) found.push(msg('no section has the bars'));
  const first = map.sections[0];
  if (first && !sameTime(first.start, bars[0]?.start ?? NaN)) {
    found.push(msg(str`the first section starts at ${said(first.start)}, the first bar at ${said(bars[0]?.start)}`));
  }
  map.sections.forEach((section, i) => {
    const name = `section ${i} (${section.name})`;
    if (barStartingAt(map, section.start) === undefined)
      found.push(msg(str`${name} starts at ${said(section.start)}, on no bar line`));
    if (!((map.sections[i + 1]?.start ?? Infinity) > section.start + TIME_TOLERANCE))
      found.push(msg(str`${name} has no bar`));
    if (section.anchor !== undefined && !finite(section.anchor))
      found.push(msg(str`${name} has the anchor ${said(section.anchor)}`));
    if (section.swing !== undefined && !inRange(section.swing, 1, 3))
      found.push(msg(str`${name} has the swing ${section.swing}`));
    const strum = section.strum && strumFault(section.strum);
    if (strum) found.push(`${name}: ${strum}`);
    if (section.letter === '') found.push(msg(str`${name} has no letter`));
  });
  if (map.refused && !ascend(map.refused)) found.push(msg('the places of refused sections do not ascend'));
  return found;
}

function checkChords(map: SongMap): string[] {
  const found: string[] = [];
  map.chords.forEach((chord, i) => {
    const name = `chord ${i} (${chord.harte})`;
    if (!(inRange(chord.time, 0, map.recording.duration) && chord.time < (map.chords[i + 1]?.time ?? Infinity))) {
      found.push(msg(str`${name} is at ${said(chord.time)}, the next at ${said(map.chords[i + 1]?.time)}`));
    }
    if (!inRange(chord.confidence, 0, 1)) found.push(msg(str`${name} has the confidence ${chord.confidence}`));
    if (chord.harte === '') found.push(msg(str`${name} has no name`));
    const kind = spanAt(map, chord.time)?.span.kind;
    if (chord.origin === 'suggested' && kind !== 'bar' && kind !== 'free') {
      found.push(msg(str`${name} is suggested at ${said(chord.time)}, in no bar`));
    }
  });
  return found;
}

function checkDoubts(map: SongMap): string[] {
  return map.doubts.flatMap((doubt, i) => [
    ...(barStartingAt(map, doubt.time) === undefined
      ? [msg(str`doubt ${i} is at ${said(doubt.time)}, on no bar line`)]
      : []),
    ...(inRange(doubt.weight, 0, 1) ? [] : [msg(str`doubt ${i} has the weight ${doubt.weight}`)]),
    ...[...doubt.keep, ...doubt.other].flatMap((draft) =>
      checkLock(draft).map((fault) => msg(str`doubt ${i}: ${fault}`)),
    ),
  ]);
}

/** What is wrong with a lock by itself, wherever it stands. */
export function checkLock(lock: Lock | LockDraft): string[] {
  const name = 'id' in lock ? `lock ${lock.id} (${lock.kind})` : `lock (${lock.kind})`;
  const faults = (...tests: readonly (readonly [boolean, string])[]): string[] =>
    tests.filter(([sound]) => !sound).map(([, fault]) => `${name}: ${fault}`);
  switch (lock.kind) {
    case 'beat':
    case 'no-beat':
    case 'downbeat':
    case 'not-downbeat':
    case 'edge':
      return faults([isTime(lock.time), msg(str`its time is ${said(lock.time)}`)]);
    case 'bar-length':
      return [
        ...faults([isTime(lock.time), msg(str`its time is ${said(lock.time)}`)]),
        ...checkMeter(lock.meter, name),
      ];
    case 'meter':
      return [
        ...faults([isStretch(lock), msg(str`from ${said(lock.from)} to ${said(lock.to)}`)]),
        ...checkMeter(lock.meter, name),
      ];
    case 'tempo':
      return [
        ...faults(
          [isStretch(lock), msg(str`from ${said(lock.from)} to ${said(lock.to)}`)],
          [finite(lock.period) && lock.period > 0, msg(str`a beat of ${lock.period} s`)],
        ),
        ...(lock.kept ?? []).flatMap(({ ratio, locks }) => [
          ...faults([finite(ratio) && ratio > 0, msg(str`it keeps locks of ${ratio} beats to one`)]),
          ...locks.flatMap(({ was, now }) => [...checkLock(was), ...(now ? checkLock(now) : [])]),
        ]),
      ];
    case 'tap':
      return faults(
        [lock.beats.length > 0 && ascend(lock.beats), msg('its beats do not ascend')],
        [ascend(lock.downbeats), msg('its first beats of bars do not ascend')],
        [
          lock.downbeats.every((d) => sameTime(lock.beats[nearestPlace(lock.beats, d)] ?? NaN, d)),
          msg('a first beat is none of its beats'),
        ],
      );
    case 'bar-lines':
      return faults([lock.starts.length > 0 && ascend(lock.starts), msg('its bar lines do not ascend')]);
    case 'free':
      return faults([isStretch(lock), msg(str`from ${said(lock.from)} to ${said(lock.to)}`)]);
  }
}

function sameIds(list: readonly { readonly id: string }[]): boolean {
  return new Set(list.map(({ id }) => id)).size < list.length;
}

function isStretch({ from, to }: { readonly from: Seconds; readonly to: Seconds }): boolean {
  return isTime(from) && isTime(to) && from < to;
}

function isTime(time: Seconds): boolean {
  return finite(time) && time >= 0;
}

function ascend(times: readonly Seconds[]): boolean {
  return times.every((time, i) => isTime(time) && time < (times[i + 1] ?? Infinity));
}

function inRange(value: number, low: number, high: number): boolean {
  return finite(value) && value >= low && value <= high;
}

/** A time as the screen writes it; what is no time, as it is. */
function said(time: Seconds | undefined): string {
  return time !== undefined && isTime(time) ? timeText(time) : String(time);
}

function finite(value: number | undefined): boolean {
  return Number.isFinite(value);
}

function sum(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0);
}
