import { barScore, type BarScore, type MeasuredBar } from './bars.js';
import { MATCH_WINDOW, continuity, fMeasure, lateness, trimBeats, type Continuity } from './beat.js';

/** What is known of a song, in seconds. */
export interface KnownSong {
  /** Each beat's time and its position in the bar, from 1; 0 where it is not known. */
  readonly beats: readonly (readonly [time: number, position: number])[];
  /** Start of each bar and its number of beats; absent where bars are not known. */
  readonly bars?: readonly Pair[];
  /** Beats outside are not judged. */
  readonly judged: readonly [from: number, to: number];
  /** The last bar's length is not known. */
  readonly last_bar_open?: boolean;
  /** The prevailing number of beats: bars of another are irregular. */
  readonly beats_per_bar?: number;
  /** Stretches whose beats can be written as bars in several ways: the nearest to the estimate counts. */
  readonly either?: readonly {
    readonly from: number;
    readonly to: number;
    readonly bars: readonly (readonly Pair[])[];
  }[];
}

type Pair = readonly [start: number, beats: number];

/** A beat that a program claims; `position` 1 begins a bar of `barBeats` beats. */
export interface ClaimedBeat {
  readonly time: number;
  readonly position: number;
  readonly barBeats: number;
}

export interface Judgement {
  /** F of the beats at 70 ms, first 5 s not counted. */
  readonly beatF: number;
  readonly continuity: Continuity;
  /** Of each beat that was found, in seconds; negative is early. */
  readonly late: readonly number[];
  /** F of the bar starts at 70 ms, first 5 s not counted; absent where bars are not known, like the next two. */
  readonly downbeatF?: number;
  /** A bar is found only if its start is within 70 ms and its number of beats is the same. */
  readonly bars?: BarScore;
  readonly irregular?: BarScore;
}

/**
 * Judges a program's beats and bars.
 *
 * An estimated bar is as long as the beats up to the next position 1; only for the last one its own word is taken. Not
 * judged: beats outside `judged`, bars before the first known one (pickups), an open last bar; a last bar may run on.
 */
export function judge(known: KnownSong, claimed: readonly ClaimedBeat[]): Judgement {
  const [from, to] = known.judged;
  const inside = claimed.filter(({ time }) => time >= from && time <= to);
  const beats = trimBeats(known.beats.map(([time]) => time));
  const claims = trimBeats(inside.map(({ time }) => time));
  const scores = {
    beatF: fMeasure(beats, claims),
    continuity: continuity(beats, claims),
    late: lateness(beats, claims),
  };
  if (!known.bars) return scores;
  const all = claimedBars(claimed);
  const actual = nearestWay(known, all);
  const starts = trimBeats(inside.filter(({ position }) => position === 1).map(({ time }) => time));
  const downbeatF = fMeasure(trimBeats(actual.map(({ start }) => start)), starts);
  const { actual: judged, found } = comparable(known, actual, all);
  const usual = known.beats_per_bar ?? commonest(judged);
  const claimedUsual = commonest(all);
  return {
    ...scores,
    downbeatF,
    bars: barScore(judged, found),
    irregular: barScore(
      judged.filter((bar) => bar.beats !== usual),
      found.filter((bar) => bar.beats !== claimedUsual),
    ),
  };
}

function claimedBars(claimed: readonly ClaimedBeat[]): MeasuredBar[] {
  const firsts = claimed.flatMap(({ position }, i) => (position === 1 ? [i] : []));
  return firsts.map((at, n) => {
    const { time, barBeats } = claimed[at] as ClaimedBeat;
    const next = firsts[n + 1];
    return { start: time, beats: next === undefined ? barBeats : next - at };
  });
}

/** The known bars; where the same beats can be written in several ways, the way with most hits, the first of equals. */
function nearestWay(known: KnownSong, estimate: readonly MeasuredBar[]): MeasuredBar[] {
  let bars = (known.bars ?? []).map(measured);
  for (const { from, to, bars: ways } of known.either ?? []) {
    const rest = bars.filter(({ start }) => start < from - 0.01 || start >= to - 0.01);
    const scored = ways.map((way) => ({ way: way.map(measured), hits: barScore(way.map(measured), estimate).hits }));
    const best = scored.reduce((one, other) => (other.hits > one.hits ? other : one));
    bars = [...rest, ...best.way].sort((a, b) => a.start - b.start);
  }
  return bars;
}

function measured([start, beats]: Pair): MeasuredBar {
  return { start, beats };
}

function comparable(
  known: KnownSong,
  bars: readonly MeasuredBar[],
  estimate: readonly MeasuredBar[],
): { actual: MeasuredBar[]; found: MeasuredBar[] } {
  const first = bars[0]?.start ?? 0;
  const last = bars[bars.length - 1];
  const found = estimate.filter(({ start }) => start >= first - MATCH_WINDOW && start <= known.judged[1]);
  if (!last) return { actual: [], found };
  if (known.last_bar_open) {
    return { actual: bars.slice(0, -1), found: found.filter(({ start }) => start < last.start - MATCH_WINDOW) };
  }
  const end = found[found.length - 1];
  if (end && Math.abs(end.start - last.start) <= MATCH_WINDOW) {
    found[found.length - 1] = { start: end.start, beats: last.beats };
  }
  return { actual: [...bars], found };
}

function commonest(bars: readonly MeasuredBar[]): number {
  const counts = new Map<number, number>();
  for (const { beats } of bars) counts.set(beats, (counts.get(beats) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0] ?? 0;
}
