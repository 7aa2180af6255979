import { msg, str } from '@lit/localize';
import {
  barAt,
  barEnd,
  barNumber,
  barOf,
  barsOf,
  chordAt,
  chordsInBar,
  isIrregular,
  sectionBars,
  sectionOfBar,
} from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { lengthText } from '../map/map-view/bar-scale.js';
import { chordText } from '../map/map-view/boxes.js';
import { beatsOf } from '../../music/meter.js';
import type { BarIndex, Seconds } from '../../music/units.js';

/** One bar as it is read from a music stand. */
export interface StageBar {
  readonly index: BarIndex;
  /** "bar 37", "pickup". */
  readonly name: string;
  /** Beats that start in it. */
  readonly beats: number;
  readonly irregular: boolean;
  /** "2 beats", "3½ beats": said where it is irregular. */
  readonly length: string;
  /** Chords with the beat they begin on, from 0; the one that goes on from before stands on beat 0 in a lighter face. */
  readonly chords: readonly StageChord[];
}

export interface StageChord {
  readonly text: string;
  readonly beat: number;
  readonly held: boolean;
}

export interface Stage {
  readonly current: StageBar | undefined;
  readonly next: StageBar | undefined;
  readonly section: { readonly name: string; readonly letter: string; readonly place: number } | undefined;
  /** Bars of the section still to come after this one. */
  readonly barsLeft: number;
  /** The section after this one. */
  readonly nextSection: string | undefined;
  /** Where no bar sounds: "lead-in", "free time", "end". */
  readonly outside: string;
}

/** From `until` on playing goes on at `from`: back to the start of a loop, or to the next section of an arrangement. */
export interface Jump {
  readonly until: Seconds;
  readonly from: Seconds;
}

/** What a player reads at `time`: the bar that sounds, the one that follows, over a jump too, and where both belong. */
export function stageAt(map: SongMap, time: Seconds, jump?: Jump): Stage {
  const bars = barsOf(map);
  const sounding = barAt(map, time);
  const following = sounding === undefined ? bars.findIndex((bar) => bar.start > time) : sounding + 1;
  const jumps = jump !== undefined && time < jump.until && (bars[following]?.start ?? Infinity) >= jump.until - 1e-3;
  const next = jumps ? barAt(map, jump.from + 1e-3) : following;
  const place = sectionOfBar(map, sounding ?? Math.max(0, following));
  const section = place === undefined ? undefined : map.sections[place];
  const range = place === undefined ? undefined : sectionBars(map, place);
  return {
    current: sounding === undefined ? undefined : stageBar(map, sounding),
    next: next === undefined || next < 0 ? undefined : stageBar(map, next),
    section: section && { name: section.name, letter: section.letter, place: place! },
    barsLeft: range && sounding !== undefined ? Math.max(0, range.last - sounding) : 0,
    nextSection: sectionAfter(map, place, jumps ? next : undefined),
    outside: time < (bars[0]?.start ?? Infinity) ? msg('lead-in') : following < 0 ? msg('end') : msg('free time'),
  };
}

function sectionAfter(map: SongMap, place: number | undefined, bar: BarIndex | undefined): string | undefined {
  if (bar !== undefined) return map.sections[sectionOfBar(map, bar) ?? -1]?.name;
  return place === undefined ? undefined : map.sections[place + 1]?.name;
}

function stageBar(map: SongMap, index: BarIndex): StageBar | undefined {
  const bar = barOf(map, index);
  if (!bar) return undefined;
  const own = chordsInBar(map, index).map(({ chord, beat }) => ({ text: chordText(chord.harte), beat, held: false }));
  const before = own[0]?.beat === 0 ? undefined : chordAt(map, bar.start);
  const held = before ? [{ text: chordText(before.harte), beat: 0, held: true }] : [];
  const length = bar.pickup ? bar.beats.length : beatsOf(bar.meter);
  return {
    index,
    name: bar.pickup ? msg('pickup') : msg(str`bar ${barNumber(map, index)}`),
    beats: bar.beats.length,
    irregular: isIrregular(map, index),
    length: lengthText(length),
    chords: [...held, ...own],
  };
}

/** The beat of a bar, from 0, that sounds at `time`, and how far it has gone, 0 to 1. */
export function beatIn(map: SongMap, index: BarIndex, time: Seconds): { readonly beat: number; readonly gone: number } {
  const bar = barOf(map, index);
  if (!bar) return { beat: 0, gone: 0 };
  let beat = bar.beats.findIndex((start) => start > time + 1e-3) - 1;
  if (beat < -1) beat = bar.beats.length - 1;
  beat = Math.max(0, beat);
  const start = bar.beats[beat]!;
  const end = bar.beats[beat + 1] ?? barEnd(map, index);
  return { beat, gone: Math.min(1, Math.max(0, (time - start) / (end - start))) };
}
