import { msg, str } from '@lit/localize';
import { sameMeter } from '../music/meter.js';
import type { BarIndex, Seconds } from '../music/units.js';
import { countUpTo } from './map-index.js';
import { barsOf } from './map-queries.js';
import type { Bar, SongMap } from './song-map.js';
import { tempoSummary } from './tempo.js';

/** Beats this close, in seconds, are the same beat for a person: a solve may move them without a change to speak of. */
const SAME_BEAT: Seconds = 0.01;

/** What differs between two maps of one recording. */
export interface MapChanges {
  /** Bars of the new map that the old one does not have: by start, measure and beats, not by number. Ascending. */
  readonly bars: readonly BarIndex[];
  /** How many bars of the old map are gone or other ones. */
  readonly gone: number;
  /** The whole song counts twice or half as many beats. */
  readonly level?: 'doubled' | 'halved';
}

/** Compares the bars of two maps. */
export function changesBetween(before: SongMap, after: SongMap): MapChanges {
  const old = barsOf(before);
  const now = barsOf(after);
  const bars = missingFrom(old, now);
  const gone = missingFrom(now, old).length;
  const level = levelChange(before, after);
  return level === undefined ? { bars, gone } : { bars, gone, level };
}

/** Places of the bars of `list` that `known` does not have. */
function missingFrom(known: readonly Bar[], list: readonly Bar[]): BarIndex[] {
  const starts = known.map((bar) => bar.start);
  const places: BarIndex[] = [];
  list.forEach((bar, i) => {
    const near = countUpTo(starts, bar.start + SAME_BEAT) - 1;
    const candidates = [known[near], known[near - 1]];
    if (!candidates.some((other) => other !== undefined && sameBar(other, bar))) places.push(i);
  });
  return places;
}

function sameBar(a: Bar, b: Bar): boolean {
  return (
    sameMeter(a.meter, b.meter) &&
    (a.pickup ?? false) === (b.pickup ?? false) &&
    a.beats.length === b.beats.length &&
    a.beats.every((time, i) => Math.abs(time - (b.beats[i] ?? NaN)) <= SAME_BEAT)
  );
}

function levelChange(before: SongMap, after: SongMap): 'doubled' | 'halved' | undefined {
  const ratio = (tempoSummary(after)?.median ?? NaN) / (tempoSummary(before)?.median ?? NaN);
  if (ratio > 1.8 && ratio < 2.2) return 'doubled';
  return ratio > 0.45 && ratio < 0.55 ? 'halved' : undefined;
}

/** The changes in words: "7 bars changed", "tempo doubled: 180 bars changed", "no other bar changed". */
export function describeChanges(changes: MapChanges): string {
  const count = Math.max(changes.bars.length, changes.gone);
  const bars =
    count === 0 ? msg('no other bar changed') : count === 1 ? msg('1 bar changed') : msg(str`${count} bars changed`);
  if (changes.level === undefined) return bars;
  return changes.level === 'doubled' ? msg(str`tempo doubled: ${bars}`) : msg(str`tempo halved: ${bars}`);
}
