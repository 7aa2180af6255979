import { bassPitch, chordIntervals, parseHarte } from '../../music/chord.js';
import { beatsOf, meterText, type Meter } from '../../music/meter.js';
import { pitchClassOf } from '../../music/pitch.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { barsOf, chordAt, chordsInBar, sectionBars, spanEnd } from '../map-queries.js';
import type { Bar, Section, SongMap } from '../song-map.js';

/** The song as it is played, a bar or a free stretch after another. */
export type LinearItem = LinearBar | LinearFree;

export interface LinearBar {
  readonly kind: 'bar';
  readonly bar: BarIndex;
  readonly meter: Meter;
  readonly pickup: boolean;
  readonly chords: readonly { readonly harte: string; readonly beat: number }[];
  /** The first chord goes on from before. */
  readonly held: boolean;
  readonly section: Section;
  /** The section begins with this bar. */
  readonly starts: boolean;
  /** Place in its section, from 0; a pickup is -1. */
  readonly place: number;
}

export interface LinearFree {
  readonly kind: 'free';
  readonly span: number;
  readonly length: Seconds;
  readonly chords: readonly { readonly harte: string; readonly after: Seconds }[];
}

/** Parts of a beat that chord places are rounded to: sixteenths and triplets of them are whole. */
const PARTS = 24;

/** Bars and free stretches of a map in order; lead-in and tail are left out. */
export function linearItems(map: SongMap): readonly LinearItem[] {
  const firsts = new Map<BarIndex, Section>();
  map.sections.forEach((section, i) => {
    const range = sectionBars(map, i);
    if (range) firsts.set(range.first, section);
  });
  const items: LinearItem[] = [];
  let bar = 0;
  let place = 0;
  let section: Section | undefined;
  map.spans.forEach((span, s) => {
    if (span.kind === 'free') items.push(freeItem(map, s, span.start));
    if (span.kind !== 'bar') return;
    const begun = firsts.get(bar);
    section = begun ?? section;
    if (begun) place = span.pickup ? -1 : 0;
    if (!section) throw new RangeError('fold: the map has a bar in no section; check it against the invariants');
    items.push({ ...barItem(map, bar, span), section, starts: begun !== undefined, place });
    bar++;
    place++;
  });
  return items;
}

function barItem(map: SongMap, bar: BarIndex, span: Bar): Omit<LinearBar, 'section' | 'starts' | 'place'> {
  const length = beatsOf(span.meter);
  const chords: { harte: string; beat: number }[] = [];
  const put = (harte: string, at: number): void => {
    const rounded = Math.round(at * PARTS) / PARTS;
    const beat = rounded < length ? rounded : Math.floor(at * PARTS) / PARTS;
    if (chords.at(-1)?.beat === beat) chords.pop();
    chords.push({ harte, beat });
  };
  const own = chordsInBar(map, bar);
  const sounding = chordAt(map, span.start);
  if (sounding) put(sounding.harte, 0);
  for (const { chord, beat } of own) if (chord !== sounding) put(chord.harte, beat);
  const before = barsOf(map)[bar - 1] && chordAt(map, span.start - 1e-3);
  const held = before !== undefined && chords[0] !== undefined && chordKey(before.harte) === chordKey(chords[0].harte);
  return { kind: 'bar', bar, meter: span.meter, pickup: span.pickup ?? false, chords, held };
}

function freeItem(map: SongMap, span: number, start: Seconds): LinearFree {
  const end = spanEnd(map, span);
  const sounding = chordAt(map, start);
  const inside = map.chords.filter((chord) => chord !== sounding && chord.time > start && chord.time < end);
  const chords = [...(sounding ? [{ harte: sounding.harte, after: 0 }] : [])];
  for (const chord of inside) chords.push({ harte: chord.harte, after: chord.time - start });
  return { kind: 'free', span, length: end - start, chords };
}

/**
 * What a written bar has to share with every bar it stands for: time signature, chords by sound on the same beats, the
 * letter and swing of the section. A bar in which no chord is known is like the one at the same place in another pass of
 * its section and like no other. A pickup and a free stretch are like nothing (`undefined`).
 */
export function likenessKey(item: LinearItem): string | undefined {
  if (item.kind === 'free' || item.pickup) return undefined;
  const { section, meter } = item;
  const chords =
    item.chords.length === 0
      ? `? ${item.place}`
      : item.chords.map(({ harte, beat }) => `${chordKey(harte)}@${Math.round(beat * PARTS)}`).join(' ');
  return [section.letter, section.swing ?? '', meterText(meter), meter.beatUnits, chords].join('|');
}

const keys = new Map<string, string>();

/** The same for chords that sound the same over the same root and bass, however they are spelled. */
function chordKey(harte: string): string {
  const known = keys.get(harte);
  if (known !== undefined) return known;
  const chord = parseHarte(harte);
  const key =
    chord?.kind === 'chord' ? [pitchClassOf(chord.root), bassPitch(chord), ...chordIntervals(chord)].join() : harte;
  if (keys.size > 1000) keys.clear();
  keys.set(harte, key);
  return key;
}
