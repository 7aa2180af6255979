import { msg, str } from '@lit/localize';
import { beatsOf } from '../music/meter.js';
import type { BarIndex } from '../music/units.js';
import { halfWords } from './length-words.js';
import { barOf, barsOf, barStartingAt, sectionBars, sectionOfBar, type BarRange } from './map-queries.js';
import type { Doubt, SongMap } from './song-map.js';

/** A bar of another pass. */
export interface SamePlace {
  /** Which pass, from 1. */
  readonly pass: number;
  readonly bar: BarIndex;
}

/** The bars as far into the other passes of a bar's section, of those with as many bars and the same lengths before it. */
export function samePlaces(map: SongMap, bar: BarIndex): readonly SamePlace[] {
  const bars = barsOf(map);
  const section = sectionOfBar(map, bar);
  const own = section === undefined ? undefined : sectionBars(map, section);
  if (section === undefined || !own) return [];
  const beats = (from: BarIndex, count: number): string =>
    bars
      .slice(from, from + count)
      .map((each) => beatsOf(each.meter))
      .join();
  const firstOf = ({ first }: BarRange): BarIndex => (bars[first]?.pickup ? first + 1 : first);
  const into = bar - firstOf(own);
  const before = beats(firstOf(own), into);
  let pass = 0;
  return map.sections.flatMap(({ letter }, i) => {
    if (letter !== map.sections[section]?.letter) return [];
    pass++;
    const range = i === section ? undefined : sectionBars(map, i);
    if (!range) return [];
    const first = firstOf(range);
    const asLong = range.last - first === own.last - firstOf(own);
    return asLong && beats(first, into) === before ? [{ pass, bar: first + into }] : [];
  });
}

/** What the other passes say of a bar whose length is in doubt: "The same place in pass 1 has 2 beats."; else nothing. */
export function samePlaceWords(map: SongMap, doubt: Doubt): string {
  const bar = barStartingAt(map, doubt.time);
  const own = bar === undefined ? undefined : barOf(map, bar);
  if (bar === undefined || !own || own.pickup || (doubt.kind !== 'length' && doubt.kind !== 'weak')) return '';
  const places = samePlaces(map, bar).map((place) => ({ ...place, beats: beatsOf(barOf(map, place.bar)!.meter) }));
  const [first] = places;
  if (!first) return '';
  if (places.length > 1 && places.every(({ beats }) => beats === first.beats))
    return msg(str`The same place in the other passes has ${halfWords(first.beats)}.`);
  const { pass, beats } = places.find((place) => place.beats !== beatsOf(own.meter)) ?? first;
  return msg(str`The same place in pass ${pass} has ${halfWords(beats)}.`);
}
