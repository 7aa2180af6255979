import { leadSheetText } from '../music/lead-sheet.js';
import { beatsOf, COMMON_TIME, meterText } from '../music/meter.js';
import { barEnd, barNumber, barsOf, chordAt, chordsInBar, sectionOfBar, spanEnd } from '../model/map-queries.js';
import type { SongMap } from '../model/song-map.js';
import { beatTempi } from '../model/tempo.js';

/**
 * The bars as CSV (RFC 4180: CRLF, quotes doubled, a header), a row each, in UTF-8 with the mark by which spreadsheets know
 * it. Times in seconds of the recording; `kind` is "bar", "pickup", or "free" for a stretch without a steady beat, which has no
 * number, beats and tempo; `bar` is the number as on the screen, a pickup has that of the bar before it; `tempo` is beats a
 * minute over the bar. A chord that does not begin with the bar has its beat behind it, counted from 1: "G C@3".
 */
export function barsCsv(map: SongMap): string {
  const head = [
    'bar',
    'kind',
    'start',
    'end',
    'beats',
    'time signature',
    'section',
    'letter',
    'tempo',
    'chords',
    'confidence',
  ];
  let next = 0;
  const rows = map.spans.flatMap((span, s): Row[] => {
    if (span.kind === 'free') return [freeRow(map, s)];
    if (span.kind !== 'bar') return [];
    const bar = span;
    const i = next++;
    const end = barEnd(map, i);
    const section = map.sections[sectionOfBar(map, i) ?? -1];
    const beats = beatsOf(bar.meter);
    const chords = chordsInBar(map, i).map(({ chord, beat }) => {
      const name = leadSheetText(chord.harte);
      return beat === 0 ? name : `${name}@${Number((beat + 1).toFixed(3))}`;
    });
    const row: Row = [
      barNumber(map, i),
      bar.pickup ? 'pickup' : 'bar',
      seconds(bar.start),
      seconds(end),
      beats,
      meterText(bar.meter),
      section?.name ?? '',
      section?.letter ?? '',
      ((60 * beats) / (end - bar.start)).toFixed(2),
      chords.join(' '),
      bar.confidence.toFixed(3),
    ];
    return [row];
  });
  return csv([head, ...rows]);
}

type Row = readonly (string | number)[];

/** The row of a stretch without a steady beat; its chords have no beats to stand on. */
function freeRow(map: SongMap, span: number): Row {
  const { start } = map.spans[span]!;
  const end = spanEnd(map, span);
  const section = map.sections.filter((each) => each.start <= start).at(-1);
  const over = chordAt(map, start);
  const chords = [...(over ? [over] : []), ...map.chords.filter(({ time }) => time > start && time < end)];
  const names = chords.map(({ harte }) => leadSheetText(harte)).join(' ');
  return ['', 'free', seconds(start), seconds(end), '', '', section?.name ?? '', section?.letter ?? '', '', names, ''];
}

/**
 * The beats as CSV, a row each, written as the bars are: `beat` counts in the bar from 1, in a pickup up to the end of the bar after it, so that 1 is
 * always a bar line; `chord` is the one that sounds.
 */
export function beatsCsv(map: SongMap): string {
  const head = ['time', 'bar', 'beat', 'kind', 'section', 'chord', 'tempo'];
  const tempi = beatTempi(map);
  const bars = barsOf(map);
  let place = 0;
  const rows = bars.flatMap((bar, b) => {
    const own = beatsOf(bar.meter);
    const before = bar.pickup ? Math.max(beatsOf(bars[b + 1]?.meter ?? COMMON_TIME) - own, 1) : 0;
    return bar.beats.map((time, i) => {
      const chord = chordAt(map, time)?.harte;
      return [
        seconds(time),
        barNumber(map, b),
        before + i + 1,
        bar.pickup ? 'pickup' : 'bar',
        map.sections[sectionOfBar(map, b) ?? -1]?.name ?? '',
        chord === undefined ? '' : leadSheetText(chord),
        (tempi[place++] ?? NaN).toFixed(2),
      ];
    });
  });
  return csv([head, ...rows]);
}

function csv(rows: readonly Row[]): string {
  return `\uFEFF${rows.map((row) => `${row.map(field).join(',')}\r\n`).join('')}`;
}

/**
 * Quoted where RFC 4180 asks for it. A text that a spreadsheet would take for a formula gets an apostrophe in front, as
 * OWASP advises ("CSV Injection").
 */
function field(value: string | number): string {
  if (typeof value === 'number') return String(value);
  const text = /^[=+\-@\t\r]/.test(value) && !/^-?[\d.]+$/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

function seconds(time: number): string {
  return time.toFixed(6);
}
