import { msg, str } from '@lit/localize';
import { keyText } from '../../music/key.js';
import { beatsOf, meterText } from '../../music/meter.js';
import { numberText } from '../../music/number-text.js';
import { strumText } from '../../music/strum.js';
import { DEFAULT_CHART } from '../../model/chart-options.js';
import { fold, foldingOf, type FoldOptions } from '../../model/fold/fold.js';
import { labelAt, type WrittenItem } from '../../model/fold/written-chart.js';
import { sectionOfBar } from '../../model/map-queries.js';
import { shownMap } from '../../model/shown-chords.js';
import type { Section, SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';
import { oneLine } from '../one-line.js';
import { barText, beatWidth, lengthOf, padded, textBars, type TextBar } from './text-bars.js';

/** Columns a line, as e-mail is written. */
const LINE = 76;
/** Columns before the first bar line, for the bar's number. */
const MARGIN = 4;
const MOST_TEXT = 200;

/**
 * The chart as plain text for a font in which all letters are equally wide: title, tempo, time signature, key; sections with
 * their names and strum; bars to scale with a chord or a dot on each beat, `|:` and `:|` for repeats, and what else a chart
 * says over the bars. Repeats are written as the chart's settings say. Chords
 * are those that are shown: transposed, and behind the capo.
 */
export function textChart(map: SongMap, options: FoldOptions = foldingOf(map.chart ?? DEFAULT_CHART)): string {
  const shown = shownMap(map);
  const { items } = fold(shown, options);
  const bars = textBars(shown, items);
  const width = beatWidth(bars);
  const strums = new Map<string, string>();
  const blocks = starts(items).map(({ from, to, label }) => {
    const first = items[label.at];
    const section = first?.kind === 'bar' ? shown.sections[sectionOfBar(shown, first.bars[0] ?? 0) ?? -1] : undefined;
    const head = [label.text, ...(section ? howPlayed(section, strums) : [])].filter((part) => part !== '').join('   ');
    return [...(head === '' ? [] : [head]), ...lines(bars.slice(from, to), width, beatsOf(shown.prevailing))].join(
      '\n',
    );
  });
  const head = [oneLine(map.title, MOST_TEXT), facts(shown)].filter((line) => line !== '').join('\n');
  return `${[head, ...blocks].join('\n\n')}\n`;
}

/** Stretches of items that begin on a line of their own, with what is written over them and by which item. */
function starts(items: readonly WrittenItem[]): { from: number; to: number; label: { text: string; at: number } }[] {
  const found: { from: number; label: { text: string; at: number } }[] = [];
  items.forEach((_, place) => {
    const text = oneLine(labelAt(items, place), MOST_TEXT);
    const before = items[place - 1];
    const hasPickup = before?.kind === 'bar' && before.pickup === true;
    if (text !== '') found.push({ from: hasPickup ? place - 1 : place, label: { text, at: place } });
    else if (place === 0 && !(items[0]?.kind === 'bar' && items[0].pickup))
      found.push({ from: 0, label: { text, at: 0 } });
  });
  if (items.length > 0 && found[0]?.from !== 0) found.unshift({ from: 0, label: { text: '', at: 0 } });
  return found.map((one, i) => ({ ...one, to: found[i + 1]?.from ?? items.length }));
}

/** Strum and swing of a section where they are not those last written for its letter. */
function howPlayed({ letter, strum, swing }: Section, written: Map<string, string>): string[] {
  const [strokes, ratio] = [strum ? strumText(strum) : '', numberText(swing ?? 1, 2)];
  const words = [
    ...(strum ? [msg(str`strum ${strokes}`)] : []),
    ...(swing !== undefined && swing > 1 ? [msg(str`swing ${ratio}:1`)] : []),
  ];
  const text = words.join('   ');
  const known = written.get(letter);
  written.set(letter, text);
  return known === text ? [] : words;
}

function facts(map: SongMap): string {
  const tempo = tempoSummary(map);
  const [low, high] = tempo ? [Math.round(tempo.low), Math.round(tempo.high)] : [];
  const cents = Math.round(map.tuning);
  const off = Math.abs(cents);
  const capo = map.fingered?.sounding ? 0 : (map.fingered?.capo ?? 0);
  return [
    ...(low === undefined ? [] : [low === high ? msg(str`${low} bpm`) : msg(str`${low} to ${high} bpm`)]),
    meterText(map.prevailing),
    ...(map.key ? [keyText(map.key)] : []),
    ...(capo > 0 ? [msg(str`capo ${capo}`)] : []),
    // Within 3 cents nobody hears it beside another instrument.
    ...(off < 3 ? [] : [cents > 0 ? msg(str`recording ${off} cents sharp`) : msg(str`recording ${off} cents flat`)]),
  ].join(', ');
}

/** Bars in lines: 8, 4 or 2 of the usual length, or fewer where they would be too long. */
function lines(bars: readonly TextBar[], width: number, usual: number): string[] {
  const fit = Math.floor((LINE - MARGIN) / (usual * width + 3));
  const most = [8, 4, 2].find((count) => count <= fit) ?? 1;
  const rows: TextBar[][] = [];
  let count = 0;
  let length = 0;
  for (const bar of bars) {
    const own = lengthOf(barText(bar, width)) + 3;
    if (rows.length === 0 || count === most || (length > 0 && length + own > LINE - MARGIN)) {
      rows.push([]);
      [count, length] = [0, 0];
    }
    rows.at(-1)?.push(bar);
    length += own;
    // A pickup takes no place of its own.
    if (bar.number !== undefined) count++;
  }
  return rows.flatMap((row) => line(row, width));
}

/** A line of bars, what stands over them above it. */
function line(row: readonly TextBar[], width: number): string[] {
  const number = row.find((bar) => bar.number !== undefined)?.number;
  let text = padded(number === undefined ? '' : String(number), MARGIN);
  const over: string[] = [];
  row.forEach((bar, i) => {
    const before = row[i - 1];
    text += `${i === 0 ? '' : before?.repeatEnd ? ':' : ' '}|${bar.repeatStart ? ':' : ' '}`;
    const start = lengthOf(text);
    text += barText(bar, width);
    for (const words of bar.over) put(over, words, start);
    // Behind a bar words end with it, as far as there is room.
    for (const words of bar.overEnd) put(over, words, Math.max(MARGIN, lengthOf(text) - lengthOf(words)));
  });
  text += `${row.at(-1)?.repeatEnd ? ':' : ' '}|`;
  return [...over.reverse(), text.trimEnd()];
}

/** Puts words into the first row, counted from the bars up, in which they meet no others. */
function put(over: string[], words: string, column: number): void {
  const room = over.findIndex((row) => lengthOf(row) < column || (row === '' && column === 0));
  const place = room < 0 ? over.push('') - 1 : room;
  over[place] = padded(over[place] as string, column) + words;
}
