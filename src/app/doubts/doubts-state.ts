import { sameTime } from '../../model/lock-holds.js';
import { barEnd, barName, barStartingAt, barsOf } from '../../model/map-queries.js';
import { samePlaceWords } from '../../model/same-place.js';
import type { Doubt, SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';

/** Indices into `map.doubts`, worst first; equally bad ones as they come in the song. */
export function worstFirst(map: SongMap): readonly number[] {
  return map.doubts
    .map((doubt, index) => ({ doubt, index }))
    .sort((a, b) => b.doubt.weight - a.doubt.weight || a.doubt.time - b.doubt.time)
    .map(({ index }) => index);
}

/** The doubt `steps` on from `index` in the order worst first; from none, the worst or the mildest. Undefined without doubts. */
export function doubtFrom(map: SongMap, index: number | undefined, steps: 1 | -1): number | undefined {
  const order = worstFirst(map);
  const here = index === undefined ? -1 : order.indexOf(index);
  if (here < 0) return steps > 0 ? order[0] : order.at(-1);
  return order[(here + steps + order.length) % order.length];
}

/**
 * The doubt to go on with when the one at `index` was decided: the next milder one that `after` still has, else the
 * worst. Undefined when none is left.
 */
export function doubtAfter(before: SongMap, index: number, after: SongMap): number | undefined {
  const decided = before.doubts[index];
  const order = worstFirst(before);
  for (const next of order.slice(order.indexOf(index) + 1)) {
    const place = sameDoubt(after, before.doubts[next]);
    if (place !== undefined) return place;
  }
  return worstFirst(after).find((each) => !decided || !sameTime(after.doubts[each]?.time ?? NaN, decided.time));
}

/** Where `after` has the doubt about the same bar. */
export function sameDoubt(after: SongMap, doubt: Doubt | undefined): number | undefined {
  if (!doubt) return undefined;
  const place = after.doubts.findIndex(({ time }) => Math.abs(time - doubt.time) < 0.05);
  return place < 0 ? undefined : place;
}

/** The bar a doubt is about. */
export function doubtBar(map: SongMap, index: number | undefined): BarIndex | undefined {
  const doubt = index === undefined ? undefined : map.doubts[index];
  return doubt && barStartingAt(map, doubt.time);
}

/** What is played for a doubt: from one bar before its bar to one bar after it, and all that its readings speak of. */
export function doubtStretch(
  map: SongMap,
  index: number,
): { readonly from: Seconds; readonly until: Seconds } | undefined {
  const bar = doubtBar(map, index);
  if (bar === undefined) return undefined;
  const bars = barsOf(map);
  const from = (bars[bar - 1] ?? bars[bar])?.start ?? map.start;
  const until = bars[bar + 1] ? barEnd(map, bar + 1) : barEnd(map, bar);
  const { keep, other } = map.doubts[index] as Doubt;
  const named = [...keep, ...other].flatMap((draft) => ('time' in draft ? [draft.time] : []));
  const length = barEnd(map, bar) - (bars[bar]?.start ?? 0);
  return {
    from: Math.max(map.start, Math.min(from, ...named)),
    until: Math.min(map.end, Math.max(until, ...named.map((time) => time + length))),
  };
}

/** "Bar 37: 4 beats or 2? The same place in pass 1 has 2." */
export function doubtText(map: SongMap, index: number): string {
  const subject = doubtSubject(map, index);
  const doubt = map.doubts[index];
  const text = [doubt?.text, doubt && samePlaceWords(map, doubt)].filter(Boolean).join(' ');
  return subject === undefined || text.startsWith(subject) ? text : `${subject}: ${text}`;
}

/** What stands before the first colon, in whatever language, unless a sentence ends before it. */
const SUBJECT = /^[^:?!.]*[^:?!.\s](?=\s?:)/;

/** What a doubt is about, as its text begins: "bar 37", or, where it names that itself, "Bars 37 to 40", "The whole song". */
export function doubtSubject(map: SongMap, index: number): string | undefined {
  const own = SUBJECT.exec(map.doubts[index]?.text ?? '')?.[0];
  const bar = doubtBar(map, index);
  return own ?? (bar === undefined ? undefined : barName(map, bar));
}
