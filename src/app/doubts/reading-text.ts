import { msg, str } from '@lit/localize';
import { describeLock } from '../../model/describe-lock.js';
import { sameTime } from '../../model/lock-holds.js';
import { barAt, barEnd, barNumber, barOf, barsOf, beatAt } from '../../model/map-queries.js';
import type { Doubt, LockDraft, SongMap } from '../../model/song-map.js';
import { beatsOf, meterText } from '../../music/meter.js';
import type { BarIndex } from '../../music/units.js';
import { beatsText, lengthText } from '../map/map-view/bar-scale.js';

/** One reading of a doubt on its button, short: "4 beats", "beat 1 on beat 3", "about 94 bpm". */
export function readingText(map: SongMap, doubt: Doubt, drafts: readonly LockDraft[]): string {
  const bar = barAt(map, doubt.time + 1e-3);
  if (doubt.kind === 'free' && drafts === doubt.keep) return msg('a steady beat');
  if (doubt.kind === 'edge') return edgeText(map, doubt, drafts);
  const split = splitText(map, bar, drafts) ?? eachText(drafts);
  if (split) return split;
  // A length says where the bar starts too.
  const lengths = drafts.filter(({ kind }) => kind === 'bar-length');
  const said = [...new Set((lengths.length > 0 ? lengths : drafts).map((draft) => draftText(map, doubt, draft)))];
  if (said.length > 0) return said.slice(0, 3).join(', ') + (said.length > 3 ? ' …' : '');
  const meter = bar === undefined ? undefined : barOf(map, bar)?.meter;
  return meter ? lengthText(beatsOf(meter)) : msg('as shown');
}

/** "the last bar", "2 more bars after it", "a pickup of 1 beat". */
function edgeText(map: SongMap, doubt: Doubt, drafts: readonly LockDraft[]): string {
  const index = barAt(map, doubt.time + 1e-3) ?? 0;
  const last = index === barsOf(map).length - 1;
  if (drafts === doubt.keep) return last ? msg('the last bar') : msg('the first bar');
  if (last) return drafts.length === 1 ? msg('1 more bar after it') : msg(str`${drafts.length} more bars after it`);
  const [draft] = drafts;
  const bar = barOf(map, index);
  if (!bar || (draft?.kind !== 'beat' && draft?.kind !== 'downbeat')) return msg('as shown');
  const bars = (bar.start - draft.time) / (barEnd(map, index) - bar.start);
  if (draft.kind === 'beat') {
    const length = lengthText(Math.max(1, Math.round(bars * beatsOf(bar.meter))));
    return msg(str`a pickup of ${length}`);
  }
  const count = Math.round(bars);
  return count === 1 ? msg('1 more bar before it') : msg(str`${count} more bars before it`);
}

/** "3 + 2 beats", where one bar is read as several. */
function splitText(map: SongMap, bar: BarIndex | undefined, drafts: readonly LockDraft[]): string | undefined {
  const lengths = drafts.flatMap((draft) =>
    draft.kind === 'bar-length' && barAt(map, draft.time + 1e-3) === bar ? [beatsText(beatsOf(draft.meter))] : [],
  );
  const sum = lengths.join(' + ');
  return lengths.length > 1 && lengths.length === drafts.length ? msg(str`${sum} beats`) : undefined;
}

/** "4 beats each", of bars after one another that are of one length. */
function eachText(drafts: readonly LockDraft[]): string | undefined {
  const lengths = drafts.map((draft) => (draft.kind === 'bar-length' ? lengthText(beatsOf(draft.meter)) : ''));
  const [length] = lengths;
  return length && lengths.length > 1 && lengths.every((each) => each === length)
    ? msg(str`${length} each`)
    : undefined;
}

function draftText(map: SongMap, doubt: Doubt, draft: LockDraft): string {
  switch (draft.kind) {
    case 'bar-length': {
      const text = lengthText(beatsOf(draft.meter));
      const bar = barAt(map, draft.time + 1e-3);
      return sameTime(draft.time, doubt.time) || bar === undefined
        ? text
        : msg(str`bar ${barNumber(map, bar)}: ${text}`);
    }
    case 'downbeat':
      return msg(str`beat 1 ${placeText(map, doubt, draft.time)}`);
    case 'not-downbeat':
      return msg(str`no beat 1 ${placeText(map, doubt, draft.time)}`);
    case 'bar-lines': {
      const start = draft.starts.find((time) => time >= doubt.time - 0.05) ?? draft.starts[0] ?? doubt.time;
      return msg(str`beat 1 ${placeText(map, doubt, start)}`);
    }
    case 'tempo':
      return msg(str`about ${Math.round(60 / draft.period)} bpm`);
    case 'free':
      return msg('free time');
    case 'meter':
      return doubt.kind === 'level' ? meterText(draft.meter) : describeLock(draft, map);
    case 'beat':
    case 'no-beat':
    case 'tap':
    case 'edge':
      return describeLock(draft, map);
  }
}

function placeText(map: SongMap, doubt: Doubt, time: number): string {
  if (sameTime(time, doubt.time)) return msg('here');
  const place = beatAt(map, time + 1e-3);
  if (!place || Math.abs(place.start - time) > 0.05) return msg('between the beats');
  const here = barAt(map, doubt.time + 1e-3);
  const beat = place.beat + 1;
  if (place.bar === here) return msg(str`on beat ${beat}`);
  const next = here !== undefined && Math.abs(barEnd(map, here) - time) < 0.05;
  return next ? msg('on the next bar line') : msg(str`on bar ${barNumber(map, place.bar)} beat ${beat}`);
}
