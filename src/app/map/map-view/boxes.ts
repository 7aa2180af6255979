import { parseHarte } from '../../../music/chord.js';
import { leadSheetText } from '../../../music/lead-sheet.js';
import { trueSigns } from '../../../music/pitch.js';
import { beatsOf, meterText, sameMeter, type Meter } from '../../../music/meter.js';
import type { BarIndex, BeatIndex, Seconds } from '../../../music/units.js';
import { barsOf, isIrregular, prevailingAt } from '../../../model/map-queries.js';
import { barList } from '../bar-list.js';
import type { Bar, ChordMark, SongMap, Span } from '../../../model/song-map.js';
import { barWidth, beatXs, beatsText, divisionsOf, type Division } from './bar-scale.js';
import { pinsByBar, type BarPins } from './pins.js';

/** One bar as drawn. Lengths are in beats of the prevailing time signature. */
export interface BarBox {
  readonly kind: 'bar';
  readonly index: BarIndex;
  /** As said, see barNumber. */
  readonly number: number;
  readonly start: Seconds;
  readonly end: Seconds;
  readonly beats: readonly Seconds[];
  readonly meter: Meter;
  readonly width: number;
  readonly bars: 0 | 1;
  /** x of each beat; the first is 0. */
  readonly xs: readonly number[];
  readonly divisions: readonly Division[];
  readonly irregular: boolean;
  /** Length in the notch: "2", "3½", "6/8" where the beat itself is another; absent for a regular bar. */
  readonly notch?: string;
  /** A time signature that begins here. */
  readonly sign?: string;
  readonly pickup: boolean;
  /** False: the bar line is dashed. */
  readonly sure: boolean;
  readonly doubted: boolean;
  readonly chords: readonly ChordBox[];
  /** The chord still sounding from before when none begins on beat 1. */
  readonly held?: string;
  readonly pins: BarPins;
}

export interface ChordBox {
  /** Where it begins in the recording. */
  readonly time: Seconds;
  readonly x: number;
  /** As printed: "Am7", "C/E". */
  readonly text: string;
  readonly suggested: boolean;
  /** It cannot be read as a chord and stands as it was typed. */
  readonly unread: boolean;
  readonly beat: BeatIndex;
}

/** A stretch without bars inside or between sections. */
export interface FreeBox {
  readonly kind: 'free';
  readonly start: Seconds;
  readonly end: Seconds;
  readonly width: number;
  readonly bars: number;
}

/** Below this probability a bar line is drawn dashed. */
export const SURE = 0.6;

/** Every span that takes room on the map's lines, in order: bars and free stretches. */
export function boxesOf(map: SongMap): (BarBox | FreeBox)[] {
  const bars = barList(map);
  const pins = pinsByBar(map, bars);
  const signs = signsOf(map);
  const chords = new ChordReader(map.chords);
  const period = beatPeriod(bars);
  let index = -1;
  return map.spans.flatMap((span, i): (BarBox | FreeBox)[] => {
    const end = map.spans[i + 1]?.start ?? map.end;
    if (span.kind === 'free') return [freeBox(span, end, period, map.prevailing)];
    if (span.kind !== 'bar') return [];
    index++;
    const { meter } = span;
    const sign = signs[index];
    const isDoubted = bars[index]?.doubtful ?? false;
    const irregular = isIrregular(map, index);
    return [
      {
        kind: 'bar',
        index,
        number: bars[index]?.number ?? index + 1,
        start: span.start,
        end,
        beats: span.beats,
        meter,
        width: barWidth(meter, map.prevailing),
        // A pickup is no bar of the line: the four bars after it still fill a line of four.
        bars: span.pickup ? 0 : 1,
        xs: beatXs(meter, map.prevailing),
        divisions: divisionsOf(meter, map.prevailing),
        irregular,
        ...(irregular ? { notch: notchText(meter, prevailingAt(map, span.start)) } : {}),
        ...(sign === undefined ? {} : { sign }),
        pickup: span.pickup === true,
        sure: !isDoubted && span.confidence >= SURE,
        doubted: isDoubted,
        ...chords.take(span, end, map.prevailing),
        pins: pins[index] ?? { pins: [], rail: undefined },
      },
    ];
  });
}

/** Length of an irregular bar for its notch. */
export function notchText(meter: Meter, prevailing: Meter): string {
  const sameBeat = meter.beatUnits * prevailing.unit === prevailing.beatUnits * meter.unit;
  return sameBeat ? beatsText(beatsOf(meter)) : `${meter.count}/${meter.unit}`;
}

/**
 * Where a time signature is written, for each bar: at the first bar, where the prevailing one changes, and where bars of
 * another length have come to stay, that is for at least SIGN_RUN in a row. Single bars of another length keep the
 * signature and carry a notch.
 */
export function signsOf(map: SongMap): (string | undefined)[] {
  const bars = barsOf(map);
  const run = new Array<number>(bars.length).fill(1);
  for (let i = bars.length - 2; i >= 0; i--) {
    if (sameKind(bars[i]?.meter, bars[i + 1]?.meter)) run[i] = (run[i + 1] ?? 0) + 1;
  }
  let local = map.prevailing;
  let prevailing: Meter | undefined;
  let written: Meter | undefined;
  return bars.map((bar, i) => {
    if (bar.pickup) return undefined;
    const now = prevailingAt(map, bar.start);
    if (!sameKind(now, prevailing)) local = now;
    prevailing = now;
    if ((run[i] ?? 0) >= SIGN_RUN && !sameKind(bars[i - 1]?.meter, bar.meter)) local = bar.meter;
    if (sameKind(written, local)) return undefined;
    written = local;
    return meterText(local);
  });
}

/** Bars in a row after which another length counts as another time signature. */
const SIGN_RUN = 4;

function sameKind(a: Meter | undefined, b: Meter | undefined): boolean {
  if (!a || !b || !sameMeter(a, b)) return false;
  return (a.grouping ?? []).join() === (b.grouping ?? []).join();
}

function freeBox(span: Span, end: Seconds, period: Seconds, prevailing: Meter): FreeBox {
  const barBeats = barWidth(prevailing, prevailing);
  // There are no beats to be true to: about as wide as its time at the song's tempo, at most two bars.
  const width = Math.min(2 * barBeats, Math.max(barBeats / 2, Math.round((end - span.start) / period)));
  return { kind: 'free', start: span.start, end, width, bars: Math.max(1, Math.ceil(width / barBeats)) };
}

/** Median duration of a beat, seconds. */
function beatPeriod(bars: readonly { readonly bar: Bar; readonly end: Seconds }[]): Seconds {
  const periods = bars.map(({ bar, end }) => (end - bar.start) / beatsOf(bar.meter)).sort((a, b) => a - b);
  return periods[periods.length >> 1] ?? 0.5;
}

/** Hands each bar its chords in one pass over the marks. */
class ChordReader {
  private next = 0;
  private sounding: ChordMark | undefined;

  constructor(private readonly marks: readonly ChordMark[]) {}

  take(bar: Bar, end: Seconds, prevailing: Meter): { chords: readonly ChordBox[]; held?: string } {
    const chords: ChordBox[] = [];
    const xs = beatXs(bar.meter, prevailing);
    const width = barWidth(bar.meter, prevailing);
    const before = this.sounding;
    for (;;) {
      const mark = this.marks[this.next];
      if (!mark || mark.time >= end - NEAR) break;
      this.next++;
      if (mark.time < bar.start - NEAR) {
        this.sounding = mark;
        continue;
      }
      const { x, beat } = placeOf(mark.time, bar, end, xs, width);
      const { time, harte, origin } = mark;
      const unread = isUnread(harte);
      chords.push({ time, x, text: chordText(harte), suggested: origin === 'suggested', unread, beat });
      this.sounding = mark;
    }
    const held = chords[0]?.x === 0 ? undefined : (before ?? undefined);
    return held === undefined || held.harte === 'N' ? { chords } : { chords, held: chordText(held.harte) };
  }
}

/** Marks this near to a beat, in seconds, stand on it. */
const NEAR: Seconds = 0.02;

function placeOf(
  time: Seconds,
  bar: Bar,
  end: Seconds,
  xs: readonly number[],
  width: number,
): { x: number; beat: BeatIndex } {
  let beat = 0;
  while (beat + 1 < bar.beats.length && time >= (bar.beats[beat + 1] ?? end) - NEAR) beat++;
  const from = bar.beats[beat] ?? bar.start;
  const to = bar.beats[beat + 1] ?? end;
  const x = xs[beat] ?? 0;
  const share = Math.abs(time - from) <= NEAR ? 0 : (time - from) / (to - from);
  return { x: x + share * ((xs[beat + 1] ?? width) - x), beat };
}

/** True for what was typed as a chord and is none. */
function isUnread(harte: string): boolean {
  return parseHarte(harte) === undefined;
}

/** Few names come often: each is read once. */
const chordTexts = new Map<string, string>();

/** As a lead sheet prints it, with true sharps and flats; what cannot be read as a chord as it was typed. */
export function chordText(harte: string): string {
  let text = chordTexts.get(harte);
  if (text === undefined) chordTexts.set(harte, (text = printed(harte)));
  return text;
}

function printed(harte: string): string {
  return isUnread(harte) ? harte : trueSigns(leadSheetText(harte)).replace(/b(?=\d)/g, '♭');
}
