import type { Meter } from '../music/meter.js';
import type { BarIndex, Seconds } from '../music/units.js';
import { beatTimes } from './map-queries.js';
import { nearestPlace } from './map-index.js';
import type { SongMap } from './song-map.js';

/**
 * All passes of one section's material, aligned bar to bar, and what differs. Plain data, derived from a map (and from
 * what was heard) and never stored: bars are places among the bars of that very map.
 */
export interface PassTable {
  /** The letter its sections share. */
  readonly letter: string;
  /** Name of the first of them. */
  readonly name: string;
  /** In order of time; at least two. */
  readonly passes: readonly Pass[];
  /** Each bar of each pass stands in exactly one column, in order. */
  readonly columns: readonly PassColumn[];
  /** What is sure enough to be said, pass by pass, in order of place. */
  readonly differences: readonly PassDifference[];
}

/** One occurrence of the material. */
export interface Pass {
  /** Id of its section. */
  readonly section: string;
  /** First and last bar, both included; a pickup before the first is left out. */
  readonly first: BarIndex;
  readonly last: BarIndex;
  /** Semitones it lies above the usual key of the material, -5 to 6. */
  readonly shift: number;
}

/** One place of the material. */
export interface PassColumn {
  /** For each pass the bar that stands here; null where the pass has none. */
  readonly bars: readonly (BarIndex | null)[];
  /** True when the material usually has a bar here; false when only some passes add one. */
  readonly usual: boolean;
}

export type PassDifference = LengthDifference | ChordDifference | AddedBars | DroppedBars | KeyDifference;
interface DifferenceBase {
  /** Place among the table's passes. */
  readonly pass: number;
  /** Place among the table's columns; the first of them where it spans several. */
  readonly column: number;
  /** Where it is heard: the start of the bar it is about, or where bars are missing the bar line there. */
  readonly time: Seconds;
  /** 0 to 1. */
  readonly confidence: number;
}

/** The bar has another length than usual. */
export interface LengthDifference extends DifferenceBase {
  readonly kind: 'length';
  readonly bar: BarIndex;
  readonly meter: Meter;
  readonly usual: Meter;
}

/** Other chords sound in the bar than usual. */
export interface ChordDifference extends DifferenceBase {
  readonly kind: 'chord';
  readonly bar: BarIndex;
  /** Chords in Harte syntax with the beat each begins on (0 is beat 1): those of the bar, and the usual ones in the key of this pass. */
  readonly has: readonly ChordOnBeat[];
  readonly usual: readonly ChordOnBeat[];
}

export interface ChordOnBeat {
  readonly beat: number;
  readonly harte: string;
}

/** Bars from `first` to `last` (both included) stand in this pass where usually none are; columns to `lastColumn`. */
export interface AddedBars extends DifferenceBase {
  readonly kind: 'added';
  readonly lastColumn: number;
  readonly first: BarIndex;
  readonly last: BarIndex;
}

/** The usual bars of the columns up to `lastColumn` are missing from this pass. */
export interface DroppedBars extends DifferenceBase {
  readonly kind: 'dropped';
  readonly lastColumn: number;
}

/** The whole pass is in another key: `shift` semitones above the usual one, -5 to 6. */
export interface KeyDifference extends DifferenceBase {
  readonly kind: 'key';
  readonly shift: number;
}

/** True when the user has silenced the difference. */
export function isIgnored(map: SongMap, difference: Pick<PassDifference, 'kind' | 'time'>): boolean {
  const reach = halfBeatAt(map, difference.time);
  return (map.ignored ?? []).some(({ kind, time }) => {
    return kind === difference.kind && Math.abs(time - difference.time) < reach;
  });
}

/** The differences of a table that are still to be said. */
export function openDifferences(map: SongMap, table: PassTable): readonly PassDifference[] {
  return table.differences.filter((difference) => !isIgnored(map, difference));
}

/** The number of a bar in its pass, counted from the pass's own start: the first is 1. */
export function barInPass(pass: Pass, bar: BarIndex): number {
  return bar - pass.first + 1;
}

/** Half the length of the beat at a time, in seconds. */
function halfBeatAt(map: SongMap, time: Seconds): Seconds {
  const beats = beatTimes(map);
  const at = nearestPlace(beats, time);
  const length = (beats[at + 1] ?? NaN) - (beats[at] ?? NaN) || (beats[at] ?? NaN) - (beats[at - 1] ?? NaN) || 0.5;
  return length / 2;
}
