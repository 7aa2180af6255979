import { msg, str } from '@lit/localize';
import { leadSheetText } from '../../music/lead-sheet.js';
import { beatsOf, beatStartsOf } from '../../music/meter.js';
import { numberText } from '../../music/number-text.js';
import type { Stroke } from '../../music/strum.js';
import type { Seconds } from '../../music/units.js';
import {
  barAt,
  barEnd,
  barName,
  barsOf,
  beatAt,
  chordAt,
  chordsInBar,
  isIrregular,
  sectionBars,
  sectionOfBar,
} from '../../model/map-queries.js';
import type { PlayPlan } from '../../model/play-plan.js';
import { shownMap } from '../../model/shown-chords.js';
import { strokesInBar } from '../../model/strum-sounds.js';
import type { SongMap } from '../../model/song-map.js';
import { pieceEnd } from '../../music/timeline.js';
import { oneLine } from '../one-line.js';

/** A bar as a clip shows it. */
export interface SceneBar {
  readonly name: string;
  readonly beats: number;
  /** "3 beats" where it is irregular. */
  readonly odd?: string;
  readonly chords: readonly { readonly text: string; readonly beat: number; readonly held?: true }[];
  readonly strokes: readonly { readonly beat: number; readonly stroke: Exclude<Stroke, '-'> }[];
}

/** What a clip shows at a moment; frames of the same `key` look the same. */
export interface Scene {
  readonly key: string;
  readonly title: string;
  readonly section?: { readonly name: string; readonly letter: string };
  /** "3 more bars, then Chorus". */
  readonly left: string;
  readonly current?: SceneBar;
  /** The beat that sounds in it, from 0. */
  readonly beat: number;
  readonly next?: SceneBar;
  /** A number that is counted before the music begins. */
  readonly count?: number;
}

const MOST_TEXT = 60;

/** The scene at each moment of a plan, `time` being of the file that is made, from 0. */
export function clipScenes(map: SongMap, plan: PlayPlan): (time: Seconds) => Scene {
  const shown = shownMap(map);
  const bars = new Map<number, SceneBar>();
  const barOf = (index: number): SceneBar => {
    const made = bars.get(index) ?? sceneBar(shown, index);
    bars.set(index, made);
    return made;
  };
  const title = oneLine(map.title, MOST_TEXT);
  return (time) => {
    const count = lastBy(plan.counts, time);
    const piece = lastBy(plan.pieces, time);
    if (!piece) {
      const first = plan.pieces[0] && nextBar(shown, plan, -1, 0);
      const next = first === undefined ? {} : { next: barOf(first) };
      return {
        key: `count ${count?.number ?? ''}`,
        title,
        left: '',
        beat: -1,
        ...next,
        ...(count ? { count: count.number } : {}),
      };
    }
    const place = plan.pieces.indexOf(piece);
    const at = Math.min(piece.from + (time - piece.at) * piece.rate, piece.until);
    const bar = time >= pieceEnd(piece) ? undefined : barAt(shown, at);
    const following = nextBar(shown, plan, place, at);
    const next = following === undefined ? {} : { next: barOf(following) };
    if (bar === undefined) return { key: `outside ${following}`, title, left: '', beat: -1, ...next };
    const beat = beatAt(shown, at)?.beat ?? 0;
    const section = sectionOfBar(shown, bar);
    const found = shown.sections[section ?? -1];
    return {
      key: `${bar} ${beat} ${following}`,
      title,
      ...(found ? { section: { name: oneLine(found.name, MOST_TEXT), letter: oneLine(found.letter, 4) } } : {}),
      left: leftText(shown, bar, section),
      current: barOf(bar),
      beat,
      ...next,
    };
  };
}

/** The last that has begun by a time, of things in order. */
function lastBy<T extends { readonly at: Seconds }>(things: readonly T[], time: Seconds): T | undefined {
  return [...things].reverse().find(({ at }) => at <= time + 1e-6);
}

/** The bar after the one that sounds at `at` of a piece, by the plan; undefined at its end. */
function nextBar(map: SongMap, plan: PlayPlan, place: number, at: Seconds): number | undefined {
  const piece = plan.pieces[place];
  if (piece) {
    const after = barsOf(map).findIndex(({ start }) => start > at + 1e-6);
    if (after >= 0 && (barsOf(map)[after]?.start ?? Infinity) < piece.until - 1e-3) return after;
  }
  const following = plan.pieces[place + 1];
  if (!following) return undefined;
  const first = barAt(map, following.from) ?? barsOf(map).findIndex(({ start }) => start >= following.from - 1e-6);
  return first >= 0 ? first : undefined;
}

function leftText(map: SongMap, bar: number, section: number | undefined): string {
  const range = section === undefined ? undefined : sectionBars(map, section);
  if (!range) return '';
  const left = range.last - bar;
  const next = map.sections[(section ?? 0) + 1]?.name;
  const words = left === 0 ? msg('last bar') : left === 1 ? msg('1 more bar') : msg(str`${left} more bars`);
  if (next === undefined) return words;
  const name = oneLine(next, MOST_TEXT);
  return msg(str`${words}, then ${name}`);
}

function sceneBar(map: SongMap, index: number): SceneBar {
  const bar = barsOf(map)[index]!;
  const own = chordsInBar(map, index).map(({ chord, beat }) => ({ text: chordText(chord.harte), beat }));
  const over = own[0]?.beat === 0 ? undefined : chordAt(map, bar.start);
  const beats = beatsOf(bar.meter);
  const count = numberText(beats, 2);
  return {
    name: barName(map, index),
    beats,
    ...(isIrregular(map, index) ? { odd: beats === 1 ? msg('1 beat') : msg(str`${count} beats`) } : {}),
    chords: [...(over ? [{ text: chordText(over.harte), beat: 0, held: true } as const] : []), ...own],
    strokes: strokesInBar(map, index).map(({ beat, stroke }) => ({ beat, stroke })),
  };
}

/** Beats that begin in a bar. */
export function beatCount(bar: Pick<SceneBar, 'beats'>): number {
  return beatStartsOf({ count: Math.round(bar.beats * 24), unit: 4, beatUnits: 24 });
}

function chordText(harte: string): string {
  return oneLine(leadSheetText(harte), 16);
}

/** Where the music ends in the file, so that a clip is as long as its sound. */
export function clipLength(map: SongMap, plan: PlayPlan): Seconds {
  const last = plan.pieces.at(-1);
  return last ? pieceEnd(last) : Math.max(0, barEnd(map, 0) || 0);
}
