import { msg, str } from '@lit/localize';
import { leadSheetText } from '../../music/lead-sheet.js';
import { beatsOf, meterText, sameMeter, type Meter } from '../../music/meter.js';
import { endingText, jumpText, labelAt, type WrittenItem } from '../../model/fold/written-chart.js';
import { barNumber } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { oneLine } from '../one-line.js';

/** A bar of a text chart: what stands in it, and over its beginning and its end. */
export interface TextBar {
  /** Absent for a pickup and a free stretch. */
  readonly number?: number;
  /** In beats. */
  readonly beats: number;
  readonly marks: readonly { readonly text: string; readonly beat: number }[];
  readonly repeatStart: boolean;
  readonly repeatEnd: boolean;
  readonly over: readonly string[];
  readonly overEnd: readonly string[];
}

/** Longest chord that is written; only what is no chord is longer. */
const MOST_CHORD = 16;
/** Fewest and most columns a beat. */
const LEAST = 3;
const MOST = 12;

/** A bar for each item of a chart, the time signature over those where it changes. */
export function textBars(map: SongMap, items: readonly WrittenItem[]): TextBar[] {
  let meter: Meter = map.prevailing;
  return items.map((item, place): TextBar => {
    const signs = {
      repeatStart: item.repeatStart ?? false,
      repeatEnd: item.repeatEnd !== undefined,
      overEnd: behind(item),
    };
    const before = [
      ...(item.segno ? [msg('Segno')] : []),
      ...(item.coda ? [msg('Coda')] : []),
      ...(item.ending?.begins ? [endingText(item.ending)] : []),
    ];
    if (item.kind === 'free') {
      const beats = beatsOf(map.prevailing);
      const marks = item.chords.map(({ harte, after }) => ({
        text: chordText(harte),
        beat: (after / item.length) * beats,
      }));
      const seconds = Math.max(1, Math.round(item.length));
      return { beats, marks, over: [...before, msg(str`free, ${seconds} s`)], ...signs };
    }
    const beats = beatsOf(item.meter);
    // Where a section begins, what goes on is said again.
    const begins = labelAt(items, place) !== '';
    const chords = item.chords
      .filter(({ held, harte }) => (begins || !held) && chordText(harte) !== '')
      .map(({ harte, beat }) => ({ text: chordText(harte), beat }));
    const marks = [...chords, ...dots(beats, chords)].sort((a, b) => a.beat - b.beat);
    if (item.pickup) return { beats, marks, over: [...before, msg('pickup')], ...signs };
    const changes = !sameMeter(meter, item.meter) || meterText(meter) !== meterText(item.meter);
    meter = item.meter;
    const over = [...before, ...(changes ? [meterText(meter)] : [])];
    return { number: barNumber(map, item.bars[0] ?? 0), beats, marks, over, ...signs };
  });
}

/** A dot on every beat on which no chord begins. */
function dots(beats: number, chords: TextBar['marks']): TextBar['marks'] {
  return Array.from({ length: Math.ceil(beats - 1e-9) }, (_, beat) => beat)
    .filter((beat) => !chords.some((chord) => Math.abs(chord.beat - beat) < 0.05))
    .map((beat) => ({ text: '.', beat }));
}

function behind({ repeatEnd, ending, toCoda, fine, jump }: WrittenItem): string[] {
  const times = repeatEnd?.times ?? 0;
  return [
    ...(times > 2 && !ending ? [msg(str`${times} times`)] : []),
    ...(toCoda ? [msg('To Coda')] : []),
    ...(fine ? [msg('Fine')] : []),
    ...(jump ? [jumpText(jump)] : []),
  ];
}

function chordText(harte: string): string {
  return oneLine(leadSheetText(harte), MOST_CHORD).replaceAll(' ', '');
}

/** Columns that a beat takes so that each chord ends before the next begins, as far as that stays readable. */
export function beatWidth(bars: readonly TextBar[]): number {
  let width = LEAST;
  for (const { marks, beats } of bars) {
    marks.forEach(({ text, beat }, i) => {
      const room = (marks.slice(i + 1).find((mark) => mark.text !== '.')?.beat ?? beats) - beat;
      // Dots give way to a long chord.
      const needed = (lengthOf(text) + (text === '.' ? 0 : 1)) / Math.max(room, 0.05);
      if (text !== '.') width = Math.max(width, Math.ceil(needed - 1e-9));
    });
  }
  return Math.min(width, MOST);
}

/** What stands in a bar, as wide as its beats; wider only where chords crowd more than can be read. */
export function barText({ marks, beats }: TextBar, width: number): string {
  let text = '';
  for (const mark of marks) {
    const column = Math.round(mark.beat * width);
    // A dot under a long chord is left out, a chord never.
    if (mark.text === '.' && lengthOf(text) > column - (text === '' ? 0 : 1)) continue;
    const gap = Math.max(column - lengthOf(text), text === '' ? 0 : 1);
    text += ' '.repeat(gap) + mark.text;
  }
  return padded(text, Math.round(beats * width));
}

/** Characters as a reader counts them. */
export function lengthOf(text: string): number {
  return Array.from(text).length;
}

export function padded(text: string, width: number): string {
  return text + ' '.repeat(Math.max(0, width - lengthOf(text)));
}
