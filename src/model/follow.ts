import type { Seconds } from '../music/units.js';
import { sameTime, TIME_TOLERANCE } from './lock-holds.js';
import { countUpTo, indexOf, nearestPlace } from './map-index.js';
import { barStartingAt, beatTimes, spanAt } from './map-queries.js';
import type { Bar, ChordMark, Section, SongMap, Span } from './song-map.js';

/** New spans for a map, and where it starts and ends. */
export interface NewSpans {
  readonly spans: readonly Span[];
  readonly start: Seconds;
  readonly end: Seconds;
}

/**
 * The map with other spans, everything that stood on the old ones following: sections to the bar lines nearest to
 * where the user put them (suggested ones: nearest to where they are), chords with their beats, doubts only where a
 * bar still starts. What the user named or typed is kept as long as there are bars for it; suggestions give way.
 */
export function withSpans(map: SongMap, { spans, start, end }: NewSpans): SongMap {
  const next = { ...map, spans, start, end };
  const { bars } = indexOf(next);
  return {
    ...next,
    sections: followSections(map.sections, bars),
    chords: followChords(map, next),
    doubts: map.doubts.filter((doubt) => barStartingAt(next, doubt.time) !== undefined),
  };
}

/**
 * Sections on other bars: each starts at the bar line nearest to its anchor, or without one to its start; the first at
 * the first bar. Two of the user's never share a bar: they move apart as little as possible. A suggested one whose bar
 * is taken is dropped. Always at least one when there is a bar, none when there is none.
 */
export function followSections(sections: readonly Section[], bars: readonly Bar[]): readonly Section[] {
  if (bars.length === 0) return [];
  const lines = bars.map((bar) => bar.start);
  const places = new Map(firmPlaces(sections, lines));
  const taken = new Set(places.values());
  let previous = -1;
  sections.forEach((section, i) => {
    const firmPlace = places.get(section);
    if (firmPlace !== undefined) {
      previous = firmPlace;
      return;
    }
    if (section.origin === 'user') return;
    const bar = nearestPlace(lines, wish(section));
    const next = sections.slice(i + 1).find((other) => places.has(other));
    const limit = (next && places.get(next)) ?? bars.length;
    if (bar <= previous || bar >= limit || taken.has(bar)) return;
    places.set(section, bar);
    previous = bar;
  });
  const kept = sections
    .filter((section) => places.has(section))
    .sort((a, b) => (places.get(a) ?? 0) - (places.get(b) ?? 0))
    .map((section, i) => startingAt(section, lines[i === 0 ? 0 : (places.get(section) ?? 0)] ?? 0));
  return kept.length > 0 ? kept : [{ id: 'S1', name: 'A', letter: 'A', start: lines[0] ?? 0, origin: 'suggested' }];
}

/**
 * The bar, by its place among `lines` (starts of bars, ascending), of each section whose start the user decided: the
 * nearest to the anchor, each another one. Those for which no bar is left are not among them.
 */
export function firmPlaces(sections: readonly Section[], lines: readonly Seconds[]): ReadonlyMap<Section, number> {
  const firm = fitting(sections.filter(isFirm), lines.length);
  const places = spread(firm.map(wish), lines);
  return new Map(firm.map((section, i) => [section, places[i] as number]));
}

/** When there are more than bars, those whose name is only suggested go first, then the last. */
function fitting(firm: readonly Section[], bars: number): readonly Section[] {
  const named = firm.length <= bars ? firm : firm.filter((section) => section.origin === 'user');
  return named.slice(0, bars);
}

function isFirm(section: Section): boolean {
  return section.origin === 'user' || section.anchor !== undefined;
}

function wish(section: Section): Seconds {
  return section.anchor ?? section.start;
}

function startingAt(section: Section, start: Seconds): Section {
  return section.start === start ? section : { ...section, start };
}

/** For each wish another of `lines`, ascending, so that they lie as near to the wishes as possible all together. */
function spread(wishes: readonly Seconds[], lines: readonly Seconds[]): readonly number[] {
  const nearest = wishes.map((time) => nearestPlace(lines, time));
  if (nearest.every((line, i) => i === 0 || line > (nearest[i - 1] ?? -1))) return nearest;
  // best[l]: least total distance of the wishes so far with the newest on line l or before; from[w][l]: where it then is.
  let best = new Array<number>(lines.length + 1).fill(0);
  const from: number[][] = [];
  for (const time of wishes) {
    const next = [Infinity];
    const chosen = [-1];
    lines.forEach((line, l) => {
      const here = (best[l] ?? Infinity) + Math.abs(line - time);
      const before = next[l] ?? Infinity;
      next.push(Math.min(before, here));
      chosen.push(here < before ? l : (chosen[l] ?? -1));
    });
    best = next;
    from.push(chosen);
  }
  const places: number[] = [];
  let limit = lines.length;
  for (let w = wishes.length - 1; w >= 0; w--) {
    const place = from[w]?.[limit] ?? 0;
    places.unshift(place);
    limit = place;
  }
  return places;
}

/** How far, in beats, a beat may have moved to be still the same beat. */
const SAME_BEAT = 0.4;

function followChords(before: SongMap, after: SongMap): readonly ChordMark[] {
  const moved = before.chords.map((chord) => {
    const time = followTime(before, after, chord.time);
    return time === chord.time ? chord : { ...chord, time };
  });
  const seen = moved.filter((chord) => {
    const kind = spanAt(after, chord.time)?.span.kind;
    return chord.origin === 'user' || kind === 'bar' || kind === 'free';
  });
  seen.sort((a, b) => a.time - b.time);
  const kept: ChordMark[] = [];
  for (const chord of seen) {
    const last = kept[kept.length - 1];
    if (!last || !sameTime(last.time, chord.time)) kept.push(chord);
    else if (last.origin !== 'user' || chord.origin === 'user') kept[kept.length - 1] = chord;
  }
  return kept;
}

/** Where a moment that was said by beats is now: as far between the same two beats; unmoved where they are gone. */
function followTime(before: SongMap, after: SongMap, time: Seconds): Seconds {
  const old = beatTimes(before);
  const at = countUpTo(old, time + TIME_TOLERANCE) - 1;
  const start = old[at];
  if (start === undefined) return time;
  const newStart = sameBeat(after, start);
  if (newStart === undefined) return time;
  if (sameTime(start, time)) return newStart;
  const end = old[at + 1];
  const newEnd = end === undefined ? undefined : sameBeat(after, end);
  if (end === undefined || newEnd === undefined || newEnd <= newStart) return time;
  return newStart === start && newEnd === end
    ? time
    : newStart + ((time - start) / (end - start)) * (newEnd - newStart);
}

function sameBeat(map: SongMap, time: Seconds): Seconds | undefined {
  const beats = beatTimes(map);
  const place = nearestPlace(beats, time);
  const beat = beats[place];
  if (beat === undefined) return undefined;
  const length = (beats[place + 1] ?? 2 * beat - (beats[place - 1] ?? beat)) - beat;
  return Math.abs(beat - time) <= SAME_BEAT * length ? beat : undefined;
}
