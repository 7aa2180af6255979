import type { Bar, Doubt, SongMap } from '../../../src/model/song-map.js';
import type { KnownSong } from '../measures/judge.js';
import type { Answer } from './solver.js';
import {
  correctionAt,
  editNaively,
  judgedBars,
  levelIsWrong,
  rightReading,
  seenBars,
  wrongBars,
  type Correction,
  type SeenBeat,
} from './user.js';

/** Locks after which a song counts as failed. */
export const MOST = 40;
const MOST_NAIVE = 1000;
const NEAR = 0.07;

/** How the user looks for what is wrong: bar by bar from the beginning, or down the list of doubts. */
export type Way = 'bars' | 'doubts';

/** Where a lock was needed; a wrong level is one place, wherever it is put right. */
export interface Place {
  readonly time: number;
  readonly ofLevel: boolean;
}

export interface Played {
  /** MOST where the map was not right in the end. */
  readonly locks: number;
  readonly right: boolean;
  /** Bars that had to be listened to; by doubts, those after the list had no wrong one left. */
  readonly bars: number;
  /** Doubts that had to be listened to, each once. */
  readonly doubts: number;
  /** Each place once. */
  readonly places: readonly Place[];
  readonly set: readonly Correction[];
}

/**
 * Corrects the map `first` until it is the known one, or MOST locks are set. `correct` solves around one more lock.
 * A doubt about the whole song at the head of the list is taken where it is right, as a person takes it.
 */
export async function play(
  known: KnownSong,
  first: SongMap,
  way: Way,
  correct: (correction: Correction) => Answer | Promise<Answer>,
): Promise<Played> {
  let map = first;
  let [locks, bars, at] = [0, 0, 0];
  const heard: Doubt[] = [];
  const places: Place[] = [];
  const set: Correction[] = [];
  for (;;) {
    const seen = seenBeats(map);
    const wrong = wrongBars(known, seen);
    if (wrong.length === 0 || locks >= MOST) break;
    const reading = rightReading(known, seen, map.doubts);
    let bar = way === 'doubts' ? doubted(map, known, wrong, heard) : reading && wrong[0];
    if (bar === undefined) {
      bar = wrong[0] as number;
      bars += Math.max(1, bar - at + 1);
      at = bar;
    }
    const correction = reading ?? correctionAt(known, seen, bar);
    set.push(correction);
    const ofLevel = reading !== undefined || levelIsWrong(known, seen);
    const place = { time: judgedBars(known, seen)[bar]?.start as number, ofLevel };
    if (!places.some((one) => (place.ofLevel ? one.ofLevel : !one.ofLevel && Math.abs(one.time - place.time) <= NEAR)))
      places.push(place);
    const answer = await correct(correction);
    locks += answer.lifted ? 2 : 1;
    // The same map gets the same correction, so nothing more would come.
    if (!answer.map) break;
    map = answer.map;
  }
  const right = wrongBars(known, seenBeats(map)).length === 0;
  if (right && way === 'bars') bars += Math.max(0, judgedBars(known, seenBeats(map)).length - at - 1);
  return { locks: right ? Math.min(locks, MOST) : MOST, right, bars, doubts: heard.length, places, set };
}

export function seenBeats(map: SongMap): SeenBeat[] {
  return wholeBars(map, true).flatMap((bar) => bar.beats.map((time, i) => ({ time, starts: i === 0 && !bar.pickup })));
}

export function wholeBars(map: SongMap, withPickup = false): Bar[] {
  return map.spans.filter((span): span is Bar => span.kind === 'bar' && (withPickup || !span.pickup));
}

/**
 * Listens down the list of doubts to the first that is wrong, and gives the wrong bar there; `heard` takes what was listened to.
 * A doubt about the level is wrong when the level is, any other when the map's bar that it is about is.
 */
function doubted(map: SongMap, known: KnownSong, wrong: readonly number[], heard: Doubt[]): number | undefined {
  const seen = seenBeats(map);
  const bars = judgedBars(known, seen);
  const shown = seenBars(seen);
  const level = levelIsWrong(known, seen) || rightReading(known, seen, map.doubts) !== undefined;
  for (const doubt of map.doubts) {
    if (!heard.some(({ kind, time }) => kind === doubt.kind && Math.abs(time - doubt.time) <= NEAR)) heard.push(doubt);
    if (level) return wrong[0];
    if (doubt.kind === 'level') continue;
    const at = shown.findIndex(({ start }) => Math.abs(start - doubt.time) <= 1e-6);
    const end = shown[at + 1]?.start ?? Infinity;
    const bar = wrong.find((i) => {
      const start = bars[i]?.start as number;
      return start < end - NEAR && (bars[i + 1]?.start ?? Infinity) > doubt.time + NEAR;
    });
    if (bar !== undefined) return bar;
  }
  return undefined;
}

/** Edits that the same user needs where each acts only where it is made. */
export function naively(known: KnownSong, map: SongMap): number {
  let seen: readonly SeenBeat[] = seenBeats(map);
  for (let edits = 0; edits < MOST_NAIVE; edits++) {
    const [wrong] = wrongBars(known, seen);
    if (wrong === undefined) return edits;
    seen = editNaively(seen, correctionAt(known, seen, wrong));
  }
  return MOST_NAIVE;
}
