import type { BarIndex, Seconds } from '../music/units.js';
import { barAt, barEnd, barOf, barsOf, sectionBars, sectionOfBar, type BarRange } from './map-queries.js';
import type { PlayStretch } from './play-plan.js';
import type { ArrangementItem, SongMap } from './song-map.js';

/** The bars `first` to `last`, both included, as a stretch; undefined when there are none such. */
export function barsStretch(map: SongMap, first: BarIndex, last: BarIndex): PlayStretch | undefined {
  const from = barOf(map, first)?.start;
  const until = barEnd(map, last);
  return from === undefined || !(until > from) ? undefined : { from, until };
}

/** A section as a stretch, by its place among the sections. */
export function sectionStretch(map: SongMap, section: number): PlayStretch | undefined {
  const range = sectionBars(map, section);
  return range && barsStretch(map, range.first, range.last);
}

/** The bars in which a stretch lies; undefined when it holds no bar line. */
export function stretchBars(map: SongMap, { from, until }: PlayStretch): BarRange | undefined {
  const first = barAt(map, from + 1e-3);
  const last = barsOf(map).filter((bar) => bar.start < until - 1e-3).length - 1;
  return first === undefined || last < first ? undefined : { first, last };
}

/** A stretch whose bar lines were corrected by less than this, in seconds, is the same one: no beat is as short. */
const SAME = 0.05;

/** True when both play the same. */
export function sameStretch(a: PlayStretch | undefined, b: PlayStretch | undefined): boolean {
  return a === b || (!!a && !!b && Math.abs(a.from - b.from) < SAME && Math.abs(a.until - b.until) < SAME);
}

/**
 * The stretches of an arrangement. A section that begins early begins where its own early beats begin in the
 * recording, and what comes before ends as many beats earlier; the song's pickup bar counts as early by itself. Items
 * whose section is gone are left out.
 */
export function arrangementStretches(map: SongMap, items: readonly ArrangementItem[]): readonly PlayStretch[] {
  const stretches: { from: Seconds; until: Seconds }[] = [];
  for (const item of items) {
    const place = itemSection(map, item);
    const range = place === undefined ? undefined : sectionBars(map, place);
    const own = range && barsStretch(map, range.first, range.last);
    if (!range || !own) continue;
    const before = stretches.at(-1);
    // Where it follows in the recording itself, nothing is joined and nothing can be cut.
    const follows = before !== undefined && Math.abs(before.until - own.from) < 1e-6;
    const pickup = barOf(map, range.first)?.pickup === true;
    const early = pickup ? barOf(map, range.first)!.beats.length : Math.max(0, Math.round(item.early ?? 0));
    const from = pickup ? own.from : beatsBefore(map, own.from, early);
    if (before && !follows && early > 0) before.until = Math.max(before.from, beatsBefore(map, before.until, early));
    stretches.push({ from: follows ? own.from : from, until: own.until });
  }
  return stretches.filter(({ from, until }) => until > from);
}

/** Place of the section that an item plays; undefined when no bar is left there. */
export function itemSection(map: SongMap, { time }: ArrangementItem): number | undefined {
  const bar = barAt(map, time);
  return bar === undefined ? undefined : sectionOfBar(map, bar);
}

/** The item that plays a section, by its place among the sections. */
export function itemOf(map: SongMap, section: number): ArrangementItem | undefined {
  const range = sectionBars(map, section);
  const middle = range && barOf(map, Math.ceil((range.first + range.last) / 2));
  return middle && { time: middle.start };
}

/** The time of the beat `count` beats before a bar line; the first beat of all where there are fewer. */
function beatsBefore(map: SongMap, line: Seconds, count: number): Seconds {
  if (count === 0) return line;
  const beats = barsOf(map).flatMap((bar) => bar.beats);
  const before = beats.filter((beat) => beat < line - 1e-6);
  return before.at(-count) ?? before[0] ?? line;
}

/** What round `round` (from 0) of a loop plays, and at which step of its ladder: its stretches take turns. */
export function loopTurn(stretches: readonly PlayStretch[], round: number): { stretch: PlayStretch; step: number } {
  return { stretch: stretches[round % stretches.length]!, step: Math.floor(round / stretches.length) };
}

/**
 * A stretch that was set between bar lines, on the bar lines that now are next to it: they move when bars are corrected.
 * It stays as it is where no line is within half a beat.
 */
export function onBarLines(map: SongMap, { from, until }: PlayStretch): PlayStretch {
  const bars = barsOf(map);
  const lines = bars.flatMap((bar, i) => {
    const end = barEnd(map, i);
    return bars[i + 1]?.start === end ? [bar.start] : [bar.start, end];
  });
  const snapped = (time: Seconds): Seconds => {
    const nearest = lines.reduce(
      (best, line) => (Math.abs(line - time) < Math.abs(best - time) ? line : best),
      Infinity,
    );
    return Math.abs(nearest - time) < 0.25 ? nearest : time;
  };
  const [a, b] = [snapped(from), snapped(until)];
  return b > a ? { from: a, until: b } : { from, until };
}

/** Rounds of a loop that becomes faster (or slower): so many, from one speed to another in equal ratios. */
export interface Ladder {
  readonly from: number;
  readonly to: number;
  readonly rounds: number;
}

/** The speed of round `round` (from 0): the last one's for all that follow. A ladder of one round stays at its start. */
export function ladderSpeed(ladder: Ladder, round: number): number {
  if (ladder.rounds <= 1) return ladder.from;
  const share = Math.min(1, Math.max(0, round / (ladder.rounds - 1)));
  return ladder.from * (ladder.to / ladder.from) ** share;
}
