import { describeLock } from '../../model/describe-lock.js';
import { sameTime } from '../../model/lock-holds.js';
import { barAt, barEnd, barNumber, barOf, beatAt } from '../../model/map-queries.js';
import type { Doubt, LockDraft, SongMap } from '../../model/song-map.js';
import { beatsOf } from '../../music/meter.js';
import type { BarIndex } from '../../music/units.js';
import { beatsText } from '../map-view/bar-scale.js';

/** One reading of a doubt on its button, short: "4 beats", "beat 1 on beat 3", "about 94 bpm". */
export function readingText(map: SongMap, doubt: Doubt, drafts: readonly LockDraft[]): string {
  const bar = barAt(map, doubt.time + 1e-3);
  if (doubt.kind === 'free' && drafts === doubt.keep) return 'a steady beat';
  const split = splitText(map, bar, drafts);
  if (split) return split;
  const parts = drafts
    .map((draft) => draftText(map, doubt, draft))
    .filter((text, i, all) => text !== undefined && all.indexOf(text) === i);
  // A length says where the bar starts too.
  const lengths = parts.filter((text) => text !== undefined && /beats?$/.test(text) && !text.startsWith('beat 1'));
  const said = lengths.length > 0 ? lengths : parts;
  if (said.length > 0) return said.slice(0, 3).join(', ') + (said.length > 3 ? ' …' : '');
  const meter = bar === undefined ? undefined : barOf(map, bar)?.meter;
  return meter ? countText(beatsOf(meter)) : 'as shown';
}

/** "3 + 2 beats", where one bar is read as several. */
function splitText(map: SongMap, bar: BarIndex | undefined, drafts: readonly LockDraft[]): string | undefined {
  const lengths = drafts.flatMap((draft) =>
    draft.kind === 'bar-length' && barAt(map, draft.time + 1e-3) === bar ? [beatsText(beatsOf(draft.meter))] : [],
  );
  return lengths.length > 1 && lengths.length === drafts.length ? `${lengths.join(' + ')} beats` : undefined;
}

function draftText(map: SongMap, doubt: Doubt, draft: LockDraft): string | undefined {
  switch (draft.kind) {
    case 'bar-length': {
      const text = countText(beatsOf(draft.meter));
      const bar = barAt(map, draft.time + 1e-3);
      return sameTime(draft.time, doubt.time) || bar === undefined ? text : `bar ${barNumber(map, bar)}: ${text}`;
    }
    case 'downbeat':
      return `beat 1 ${placeText(map, doubt, draft.time)}`;
    case 'not-downbeat':
      return `no beat 1 ${placeText(map, doubt, draft.time)}`;
    case 'bar-lines': {
      const start = draft.starts.find((time) => time >= doubt.time - 0.05) ?? draft.starts[0] ?? doubt.time;
      return `beat 1 ${placeText(map, doubt, start)}`;
    }
    case 'tempo':
      return `about ${Math.round(60 / draft.period)} bpm`;
    case 'free':
      return 'free time';
    case 'beat':
    case 'no-beat':
    case 'meter':
    case 'tap':
    case 'edge':
      return describeLock(draft, map);
  }
}

function placeText(map: SongMap, doubt: Doubt, time: number): string {
  if (sameTime(time, doubt.time)) return 'here';
  const place = beatAt(map, time + 1e-3);
  if (!place || Math.abs(place.start - time) > 0.05) return 'between the beats';
  const here = barAt(map, doubt.time + 1e-3);
  if (place.bar === here) return `on beat ${place.beat + 1}`;
  const next = here !== undefined && Math.abs(barEnd(map, here) - time) < 0.05;
  return next ? 'on the next bar line' : `on bar ${barNumber(map, place.bar)} beat ${place.beat + 1}`;
}

function countText(beats: number): string {
  return `${beatsText(beats)} ${beats === 1 ? 'beat' : 'beats'}`;
}
