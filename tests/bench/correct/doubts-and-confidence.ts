import type { SongMap } from '../../../src/model/song-map.js';
import type { KnownSong } from '../measures/judge.js';
import { tableText } from '../statistics.js';
import { seenBeats, wholeBars, type Place } from './play.js';
import { judgedBars, seenBars, wrongBars } from './user.js';

const NEAR = 0.07;

/** A place where a lock was needed, against the doubts of the map before any lock. */
export interface RankedPlace {
  /** Rank of the first doubt within one bar of the place, from 1; Infinity without. */
  readonly rank: number;
  /** How many doubts of this song are to be listened to: 5, or a tenth of its bars. */
  readonly first: number;
}

/** What a bar of the first map claims, and whether it is right. */
export type Claim = readonly [confidence: number, right: boolean];

/** A wrong level is found only by a doubt about the level, any other place only by another doubt. */
export function rankedPlaces(map: SongMap, places: readonly Place[]): RankedPlace[] {
  const lines = seenBars(seenBeats(map)).map(({ start }) => start);
  const barOf = (time: number): number => lines.filter((start) => start <= time + NEAR).length;
  const first = Math.max(5, Math.ceil(wholeBars(map).length / 10));
  return places.map((place) => {
    const rank = map.doubts.findIndex(
      ({ time, kind }) =>
        (kind === 'level') === place.ofLevel && (place.ofLevel || Math.abs(barOf(time) - barOf(place.time)) <= 1),
    );
    return { rank: rank < 0 ? Infinity : rank + 1, first };
  });
}

/** The claims of the bars from the first to the last judged one. */
export function claims(map: SongMap, known: KnownSong): Claim[] {
  const seen = seenBeats(map);
  const wrong = new Set(wrongBars(known, seen));
  const truth = judgedBars(known, seen);
  const right = truth.filter((_, i) => !wrong.has(i)).map(({ start }) => start);
  const [from, to] = [(truth[0]?.start ?? 0) - NEAR, (truth.at(-1)?.start ?? 0) + NEAR];
  return wholeBars(map)
    .filter(({ start }) => start >= from && start <= to)
    .map(({ start, confidence }) => [confidence, right.some((time) => Math.abs(time - start) <= NEAR)] as const);
}

/** Doubts heard at which the curve is printed. */
const HEARD = [1, 2, 3, 5, 8, 12, 20, 40];

/** Share of the places near the first doubts, and places found against doubts heard. */
export function placesText(places: readonly RankedPlace[]): string {
  const share = (are: (place: RankedPlace) => boolean): string => {
    const n = places.filter(are).length;
    return places.length === 0 ? '-' : `${(n / places.length).toFixed(2)} (${n} of ${places.length})`;
  };
  return [
    `places within one bar of the first max(5, a tenth of the bars) doubts: ${share(({ rank, first }) => rank <= first)}\n`,
    tableText([
      ['doubts heard', 'places found'],
      ...HEARD.map((count) => [String(count), share(({ rank }) => rank <= count)]),
    ]),
  ].join('');
}

/** Expected calibration error over ten bins of equal width (Guo et al., ICML 2017). */
export function calibrationError(all: readonly Claim[]): number {
  return binned(all).reduce((sum, { count, claimed, right }) => {
    return count === 0 ? sum : sum + (count / all.length) * Math.abs(claimed - right);
  }, 0);
}

/** The reliability table and the error. */
export function calibrationText(all: readonly Claim[]): string {
  const lines = binned(all).map(({ count, claimed, right }, bin) => [
    `${(bin / 10).toFixed(1)} to ${((bin + 1) / 10).toFixed(1)}`,
    String(count),
    ...(count > 0 ? [claimed.toFixed(2), right.toFixed(2)] : ['-', '-']),
  ]);
  const table = tableText([['confidence', 'bars', 'mean', 'right'], ...lines]);
  return `${table}expected calibration error: ${calibrationError(all).toFixed(3)}\n`;
}

function binned(all: readonly Claim[]): { count: number; claimed: number; right: number }[] {
  return Array.from({ length: 10 }, (_, bin) => {
    const own = all.filter(([confidence]) => Math.min(9, Math.floor(10 * confidence)) === bin);
    const claimed = own.reduce((sum, [confidence]) => sum + confidence, 0) / own.length;
    return { count: own.length, claimed, right: own.filter(([, right]) => right).length / own.length };
  });
}
