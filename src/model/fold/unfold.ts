import type { Meter } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import type { Jump, SectionHead, WrittenBar, WrittenChart, WrittenItem } from './written-chart.js';

/** What a player plays, an item after another. */
export type PlayedItem = PlayedBar | PlayedFree;

export interface PlayedBar {
  readonly kind: 'bar';
  readonly meter: Meter;
  readonly pickup?: true;
  readonly chords: readonly { readonly harte: string; readonly beat: number }[];
  /** The section that begins here; absent when none does. */
  readonly head?: { readonly name: string; readonly letter: string; readonly swing?: number };
  /** Its place among the chart's items. */
  readonly item: number;
}

export interface PlayedFree {
  readonly kind: 'free';
  readonly length: Seconds;
  readonly chords: readonly { readonly harte: string; readonly after: Seconds }[];
  readonly item: number;
}

/** A chart that cannot be played as it is written; the message names the item (from 1) and what is wrong. */
export class ChartProblem extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'ChartProblem';
  }
}

/** A chart longer than this when played is taken for one without end. */
const MOST_PLAYED = 100_000;

/**
 * Plays a chart by its signs alone, as a player reads it; which bars of the map the items stand for is not looked at.
 * Throws ChartProblem for signs that lead nowhere.
 */
export function unfold(chart: WrittenChart): readonly PlayedItem[] {
  const { items } = chart;
  const played: PlayedItem[] = [];
  const times = items.map(() => 0);
  /** Where the repeat under way began, and which pass of it this is. */
  let repeatFrom = 0;
  let pass = 1;
  /** The jump that was taken. */
  let jumped: Jump | undefined;
  for (let at = 0; at < items.length;) {
    const item = items[at] as WrittenItem;
    const onlyLast = jumped !== undefined && !jumped.withRepeats;
    if (item.repeatStart && repeatFrom !== at) {
      repeatFrom = at;
      pass = 1;
    }
    if (item.ending?.begins) {
      const here = onlyLast ? lastPass(items, at) : pass;
      if (!item.ending.passes.includes(here)) {
        at = behindEnding(items, at);
        if (!items[at]?.ending?.begins) throw new ChartProblem(`item ${at}: there is no ending for pass ${here}`);
        continue;
      }
    }
    times[at] = (times[at] as number) + 1;
    played.push(asPlayed(item, at, times[at] as number));
    if (played.length > MOST_PLAYED) throw new ChartProblem(`the chart does not end: stopped at item ${at + 1}`);
    if (item.repeatEnd && !onlyLast && pass < item.repeatEnd.times) {
      pass++;
      at = repeatFrom;
      continue;
    }
    if (jumped && item.fine && jumped.until === 'fine') return played;
    if (jumped && item.toCoda && jumped.until === 'coda') {
      at = theOne(items, 'coda', at);
      // The coda is new music: its repeats are taken.
      jumped = { ...jumped, withRepeats: true };
      [repeatFrom, pass] = [at, 1];
      continue;
    }
    if (item.jump && !jumped) {
      jumped = item.jump;
      at = item.jump.to === 'start' ? 0 : theOne(items, 'segno', at);
      [repeatFrom, pass] = [at, 1];
      continue;
    }
    const bracket = item.ending;
    at++;
    // Behind the last pass's ending the repeat is over, whatever brackets follow.
    if (bracket?.ends || item.repeatEnd) [repeatFrom, pass] = [at, 1];
  }
  return played;
}

function theOne(items: readonly WrittenItem[], sign: 'segno' | 'coda', from: number): number {
  const found = items.findIndex((item) => item[sign]);
  if (found < 0) throw new ChartProblem(`item ${from + 1}: it leads to a ${sign} sign, and there is none`);
  return found;
}

/** First item behind the bracket that begins at `at`. */
function behindEnding(items: readonly WrittenItem[], at: number): number {
  let behind = at + 1;
  while (items[behind]?.ending && !items[behind]?.ending?.begins) behind++;
  return behind;
}

/** The highest pass that the brackets from `at` on, one behind another, are for. */
function lastPass(items: readonly WrittenItem[], at: number): number {
  let last = 0;
  for (let next = at; items[next]?.ending?.begins; next = behindEnding(items, next)) {
    last = Math.max(last, ...(items[next]?.ending?.passes ?? []));
  }
  return last;
}

function asPlayed(item: WrittenItem, place: number, time: number): PlayedItem {
  if (item.kind === 'free') return { kind: 'free', length: item.length, chords: item.chords, item: place };
  const head = headAt(item, time);
  return {
    kind: 'bar',
    meter: item.meter,
    ...(item.pickup ? { pickup: true } : {}),
    chords: item.chords.map(({ harte, beat }) => ({ harte, beat })),
    ...(head ? { head: { name: head.name, letter: head.letter, ...swingOf(head) } } : {}),
    item: place,
  };
}

function headAt(bar: WrittenBar, time: number): SectionHead | undefined {
  return bar.heads.find((head) => head.times === undefined || head.times.includes(time));
}

function swingOf({ swing }: SectionHead): { readonly swing?: number } {
  return swing === undefined ? {} : { swing };
}
