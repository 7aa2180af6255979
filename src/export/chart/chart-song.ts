import { msg, str } from '@lit/localize';
import { chordShape, type ChartShape } from './chart-shapes.js';
import { factsOf } from './chart-facts.js';
import { notesByBar } from './pass-notes.js';
import { meterText, sameMeter, beatsOf, type Meter } from '../../music/meter.js';
import { numberText } from '../../music/number-text.js';
import type { Strum } from '../../music/strum.js';
import { tuningOf } from '../../music/tuning.js';
import type { ChartOptions } from '../../model/chart-options.js';
import { fold, foldingOf } from '../../model/fold/fold.js';
import { jumpText, labelAt, type Ending, type WrittenBar, type WrittenItem } from '../../model/fold/written-chart.js';
import { formOf } from '../../model/form.js';
import { barNumber, sectionBars, sectionOfBar } from '../../model/map-queries.js';
import { shownName } from '../../model/shown-chords.js';
import type { PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import { oneLine } from '../one-line.js';

/** A song as a chart writes it: words and bars, without places. */
export interface ChartSong {
  readonly title: string;
  /** Tempo, time signature, key, tuning, capo: each as a musician says it. */
  readonly facts: readonly string[];
  readonly bars: readonly ChartBar[];
  /** Beats of the commonest bar. */
  readonly usualBeats: number;
  /** The sections as they are played, with their beats. */
  readonly form: readonly { readonly letter: string; readonly name: string; readonly beats: number }[];
  /** A shape for each chord, in the order they come. */
  readonly shapes: readonly ChartShape[];
}

/** A bar on paper, or a stretch without a steady beat. */
export interface ChartBar {
  readonly kind: 'bar' | 'pickup' | 'free';
  /** How wide it is, in beats. */
  readonly beats: number;
  readonly chords: readonly { readonly text: string; readonly beat: number }[];
  /** Printed where it changes. */
  readonly meter?: Meter;
  /** The section that begins here. */
  readonly head?: ChartHead;
  readonly number: number;
  /** Letter of the section it is in. */
  readonly letter: string;
  readonly segno: boolean;
  readonly coda: boolean;
  readonly repeatStart: boolean;
  readonly ending?: Ending;
  readonly repeatEnd: boolean;
  /** What stands over its end: "play 4 times", "Fine", "D.S. al Coda". */
  readonly after: readonly string[];
  readonly toCoda: boolean;
  /** Words over its start: how long a free stretch lasts. */
  readonly note?: string;
  /** How it differs from the other passes of its section. */
  readonly differs: readonly string[];
  /** A jump or an end of music follows: a double bar. */
  readonly closes: boolean;
}

export interface ChartHead {
  readonly name: string;
  readonly letter: string;
  readonly strum?: Strum;
  readonly swing?: string;
  /** The user's lines for it, one for each time it is played that has one. */
  readonly cues: readonly string[];
}

/** What a chart of the map says, by its options; `passes` say where they differ. */
export function chartSong(map: SongMap, options: ChartOptions, passes: readonly PassTable[] = []): ChartSong {
  const { items } = fold(map, foldingOf(options));
  const named = (harte: string): string => oneLine(shownName(map, harte));
  const notes = options.notes ? notesByBar(map, passes, named) : new Map<number, readonly string[]>();
  const printed = new Map<string, string>();
  let meter: Meter | undefined;
  let lastNumber = 0;
  let letter = '';
  const bars = items.map((item, place): ChartBar => {
    const head = headOf(map, items, place, options, printed);
    letter = letterOf(map, item) ?? letter;
    const shared = { letter, ...signsOf(item), ...head };
    if (item.kind === 'free') {
      const beats = beatsOf(map.prevailing);
      const chords = sounding(
        item.chords.map(({ harte, after }) => ({
          text: named(harte),
          beat: item.length > 0 ? (after / item.length) * beats : 0,
        })),
      );
      const seconds = Math.max(1, Math.round(item.length));
      const note = msg(str`free, ${seconds} s`);
      return { kind: 'free', beats, chords, number: lastNumber, note, differs: [], ...shared };
    }
    // A pickup stands under the time signature of the bar it leads to.
    const next = items[place + 1];
    const wanted = item.pickup && next?.kind === 'bar' ? next.meter : item.meter;
    const change = meter && sameWritten(meter, wanted) ? {} : { meter: wanted };
    meter = wanted;
    const number = barNumber(map, item.bars[0] ?? 0);
    lastNumber = number;
    return {
      kind: item.pickup ? 'pickup' : 'bar',
      beats: beatsOf(item.meter),
      chords: sounding(item.chords.map(({ harte, beat }) => ({ text: named(harte), beat }))),
      number,
      differs: differsOf(item, notes),
      ...change,
      ...shared,
    };
  });
  const form = formOf(map).parts.flatMap((part) => (part.kind === 'section' ? [part] : []));
  return {
    title: oneLine(map.title),
    facts: factsOf(map),
    bars,
    usualBeats: usualBeats(bars, map),
    form: form.map(({ letter: own, name, beats }) => ({ letter: oneLine(own), name: oneLine(name), beats })),
    shapes: options.shapes ? shapesOf(map, items, options) : [],
  };
}

function letterOf(map: SongMap, item: WrittenItem): string | undefined {
  if (item.kind !== 'bar') return undefined;
  const section = map.sections[sectionOfBar(map, item.bars[0] ?? 0) ?? -1];
  return section && oneLine(section.letter);
}

function sounding(chords: ChartBar['chords']): ChartBar['chords'] {
  return chords.filter(({ text }) => text !== '');
}

function sameWritten(a: Meter, b: Meter): boolean {
  return sameMeter(a, b) && meterText(a) === meterText(b);
}

/** What all the bars that a written one stands for have to say. */
function differsOf({ bars }: WrittenBar, notes: ReadonlyMap<number, readonly string[]>): readonly string[] {
  const [first, ...others] = bars;
  const said = notes.get(first ?? -1) ?? [];
  return said.filter((text) => others.every((bar) => notes.get(bar)?.includes(text)));
}

function signsOf(
  item: WrittenItem,
): Pick<ChartBar, 'segno' | 'coda' | 'repeatStart' | 'repeatEnd' | 'ending' | 'after' | 'toCoda' | 'closes'> {
  const times = item.repeatEnd?.times ?? 0;
  return {
    segno: item.segno ?? false,
    coda: item.coda ?? false,
    repeatStart: item.repeatStart ?? false,
    repeatEnd: item.repeatEnd !== undefined,
    ...(item.ending ? { ending: item.ending } : {}),
    toCoda: item.toCoda ?? false,
    after: [
      // With endings the brackets say how often.
      ...(times > 2 && !item.ending ? [msg(str`play ${times} times`)] : []),
      ...(item.fine ? [msg('Fine')] : []),
      ...(item.jump ? [jumpText(item.jump)] : []),
    ],
    closes: item.fine !== undefined || item.jump !== undefined,
  };
}

/** The section at an item, its strum pattern only where it is not the one last printed for its letter. */
function headOf(
  map: SongMap,
  items: readonly WrittenItem[],
  place: number,
  options: ChartOptions,
  printed: Map<string, string>,
): { readonly head?: ChartHead } {
  const name = oneLine(labelAt(items, place));
  const item = items[place];
  if (name === '' || item?.kind !== 'bar') return {};
  const at = (bar: number) => map.sections[sectionOfBar(map, bar) ?? -1];
  const section = at(item.bars[0] ?? 0);
  const strum = options.strum ? section?.strum : undefined;
  const swing = section?.swing;
  const words = JSON.stringify([strum ?? null, swing ?? null]);
  const fresh = section !== undefined && printed.get(section.letter) !== words;
  if (section) printed.set(section.letter, words);
  return {
    head: {
      name,
      letter: oneLine(section?.letter ?? ''),
      ...(fresh && strum ? { strum } : {}),
      ...(fresh && swing !== undefined && swing > 1 ? { swing: swingText(swing) } : {}),
      cues: options.cues ? cuesOf(map, item) : [],
    },
  };
}

/** The lines of the sections that begin with the bars of an item, numbered when it is played more than once. */
export function cuesOf(map: SongMap, item: WrittenBar): readonly string[] {
  const begun = item.bars.flatMap((bar) => {
    const place = sectionOfBar(map, bar) ?? -1;
    const first = sectionBars(map, place)?.first ?? -1;
    // A pickup belongs to the section, but is written once, before the repeat.
    return first === bar || first === bar - 1 ? [map.sections[place]?.cue ?? ''] : [];
  });
  const lines = begun.map((line) => oneLine(line));
  return lines.flatMap((line, i) => (line === '' ? [] : [lines.length > 1 ? `${i + 1}.  ${line}` : line]));
}

function swingText(swing: number): string {
  if (swing >= 1.8 && swing <= 2.2) return msg('swung');
  const ratio = numberText(swing, 2);
  return msg(str`swung ${ratio} : 1`);
}

/** The commonest length of a bar, the prevailing one where there is a choice. */
function usualBeats(bars: readonly ChartBar[], map: SongMap): number {
  const counts = new Map<number, number>([[beatsOf(map.prevailing), 0.5]]);
  for (const { kind, beats } of bars) if (kind === 'bar') counts.set(beats, (counts.get(beats) ?? 0) + 1);
  return [...counts].reduce((best, each) => (each[1] > best[1] ? each : best))[0];
}

function shapesOf(map: SongMap, items: readonly WrittenItem[], options: ChartOptions): readonly ChartShape[] {
  const tuning = tuningOf(options.instrument);
  const found = new Map<string, ChartShape>();
  for (const { harte } of items.flatMap<{ readonly harte: string }>((item) => [...item.chords])) {
    const shape = chordShape(map, harte, tuning);
    if (shape && !found.has(shape.name)) found.set(shape.name, shape);
  }
  return [...found.values()];
}
