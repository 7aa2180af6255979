import { clockText } from '../music/clock-text.js';
import { fold } from '../model/fold/fold.js';
import { formSentence } from '../model/form-words.js';
import { barEnd, barNumber, barsOf, chordsInBar, irregularBars, sectionBars, spanEnd } from '../model/map-queries.js';
import { samePlaceWords } from '../model/same-place.js';
import { tempoSummary } from '../model/tempo.js';
import type { Bar, SongMap } from '../model/song-map.js';
import { beatsOf, meterText, sameMeter } from '../music/meter.js';
import { leadSheetText } from '../music/lead-sheet.js';
import type { Cents } from '../music/units.js';

/** Bars a line before it wraps. */
const LINE_BARS = 8;
/** Characters a line of words. */
const LINE_WIDTH = 100;

/** The map as text for a terminal: what it is, a line a section with its bars to scale, irregular bars, doubts. */
export function reportText(map: SongMap, options: { format?: string; chords?: boolean } = {}): string {
  const bars = barsOf(map);
  const head = [
    `${map.title}  ${clockText(map.recording.duration)}${options.format ? `  ${options.format}` : ''}`,
    [...tempoText(map), meterText(map.prevailing), ...keyText(map), tuningText(map.tuning)].join(', '),
    `${count(bars.filter((bar) => !bar.pickup).length, 'bar')}; ${irregularBars(map).length === 0 ? 'none' : count(irregularBars(map).length, 'bar')} of another length; ${count(map.doubts.length, 'place')} worth a listen`,
  ];
  if (bars.length === 0) return [...head, 'No steady beat was found.', ''].join('\n');
  return [
    ...head,
    '',
    ...formLines(map),
    ...spanLines(map),
    ...sectionLines(map, options.chords ?? false),
    ...irregularLines(map),
    ...doubtLines(map),
    '',
  ].join('\n');
}

function count(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? '' : 's'}`;
}

function tempoText(map: SongMap): string[] {
  const tempo = tempoSummary(map);
  if (!tempo) return [];
  const [low, high] = [Math.round(tempo.low), Math.round(tempo.high)];
  return [low === high ? `${low} bpm` : `${low}–${high} bpm (mostly ${Math.round(tempo.median)})`];
}

function keyText(map: SongMap): string[] {
  return map.key ? [`${map.key.tonic} ${map.key.mode}`] : [];
}

function tuningText(cents: Cents): string {
  const whole = Math.round(cents);
  if (whole === 0) return 'tuned to A440';
  return `${count(Math.abs(whole), 'cent')} ${whole > 0 ? 'sharp' : 'flat'} of A440`;
}

/** The form in a sentence, and how short its chart is. */
function formLines(map: SongMap): string[] {
  const { written, played } = fold(map);
  const chart = `Chart: ${count(written, 'bar')} written, ${played} played`;
  return [...wrappedParts(`Form: ${formSentence(map)}`), chart, ''];
}

/** Parts between commas in lines that fit a terminal, the later lines set in. */
function wrappedParts(text: string): string[] {
  const lines: string[] = [];
  for (const part of text.split(/(?<=,) /)) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + part.length <= LINE_WIDTH) lines[lines.length - 1] = `${last} ${part}`;
    else lines.push(last === undefined ? part : `      ${part}`);
  }
  return lines;
}

/** What is not in bars: the lead-in, free stretches, the tail. */
function spanLines(map: SongMap): string[] {
  const names = { 'lead-in': 'before the first bar', free: 'without a steady beat', tail: 'after the last bar' };
  const lines = map.spans.flatMap((span, i) =>
    span.kind === 'bar' || spanEnd(map, i) - span.start < 1
      ? []
      : [`  ${clockText(span.start)} to ${clockText(spanEnd(map, i))}  ${names[span.kind]}`],
  );
  return lines.length > 0 ? [...lines, ''] : [];
}

function sectionLines(map: SongMap, chords: boolean): string[] {
  const names = map.sections.map((section) => (section.name === section.letter ? '' : section.name));
  const width = Math.max(...names.map((name) => name.length));
  const bars = barsOf(map);
  return [
    'Bars, a dot a beat, a figure where a bar has another length:',
    ...map.sections.flatMap((section, i) => {
      const range = sectionBars(map, i);
      if (!range) return [];
      const own = bars.slice(range.first, range.last + 1);
      const label = `${section.letter} ${(names[i] ?? '').padEnd(width)}  ${clockText(section.start).padStart(5)}  bar ${String(barNumber(map, range.first)).padStart(3)}  `;
      const lines = wrapped(own).map(
        (line, n) => `${n === 0 ? label : ' '.repeat(label.length)}|${line.map((bar) => barText(map, bar)).join('|')}|`,
      );
      return [...lines, ...(chords ? [chordLine(map, range.first, range.last, label.length)] : [])];
    }),
    '',
  ];
}

/** Bars in lines of LINE_BARS, so that a bar of another length throws its line out. A pickup takes no place of its own. */
function wrapped(bars: readonly Bar[]): Bar[][] {
  const lines: Bar[][] = [];
  let room = 0;
  for (const bar of bars) {
    if (room === 0) {
      lines.push([]);
      room = LINE_BARS;
    }
    lines[lines.length - 1]?.push(bar);
    if (!bar.pickup) room--;
  }
  return lines;
}

/** "....", or "2." for a bar of two beats in a song in four. A half beat at the end is a comma. */
function barText(map: SongMap, bar: Bar): string {
  const beats = beatsOf(bar.meter);
  const dots = '.'.repeat(Math.floor(beats)) + (beats % 1 > 0 ? ',' : '');
  const regular = bar.pickup || sameMeter(bar.meter, map.prevailing);
  return regular ? dots : `${Math.floor(beats)}${dots.slice(String(Math.floor(beats)).length)}`;
}

function chordLine(map: SongMap, first: number, last: number, indent: number): string {
  const cells: string[] = [];
  for (let bar = first; bar <= last; bar++) {
    cells.push(
      chordsInBar(map, bar)
        .map((placed) => leadSheetText(placed.chord.harte))
        .join(' ') || '-',
    );
  }
  return `${' '.repeat(indent)}${cells.join(' | ')}`;
}

function irregularLines(map: SongMap): string[] {
  const bars = irregularBars(map);
  if (bars.length === 0) return [];
  return [
    'Bars of another length:',
    ...bars.map((index) => {
      const bar = barsOf(map)[index] as Bar;
      const beats = beatsOf(bar.meter);
      const sure = bar.confidence >= 0.9 ? 'sure' : bar.confidence >= 0.6 ? 'likely' : 'doubtful';
      return `  bar ${barNumber(map, index)}: ${count(beats, 'beat')} at ${clockText(bar.start)} to ${clockText(barEnd(map, index))}, ${sure}`;
    }),
    '',
  ];
}

function doubtLines(map: SongMap): string[] {
  if (map.doubts.length === 0) return [];
  return [
    'Worth a listen, worst first:',
    ...map.doubts.map((doubt) =>
      `  ${clockText(doubt.time).padStart(5)}  ${doubt.text} ${samePlaceWords(map, doubt)}`.trimEnd(),
    ),
  ];
}
