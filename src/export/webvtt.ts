import { msg } from '@lit/localize';
import { parseHarte } from '../music/chord.js';
import { leadSheetText } from '../music/lead-sheet.js';
import type { Seconds } from '../music/units.js';
import {
  barEnd,
  barName,
  barNumber,
  barsOf,
  chordAt,
  chordsInBar,
  sectionBars,
  sectionOfBar,
} from '../model/map-queries.js';
import type { SongMap } from '../model/song-map.js';
import { oneLine } from './one-line.js';

/** What the cues say: the chord that sounds, the bar with its chords, or the section. */
export type CueKind = 'chords' | 'bars' | 'sections';
export const CUE_KINDS: readonly CueKind[] = ['chords', 'bars', 'sections'];

interface Cue {
  readonly from: Seconds;
  readonly to: Seconds;
  readonly text: string;
}

/**
 * Cues over the recording or a video with its sound, as WebVTT (W3C, "WebVTT: The Web Video Text Tracks Format"): one a
 * chord, a bar or a section. Times are rounded to the millisecond, which is all the format has.
 */
export function toWebVtt(map: SongMap, kind: CueKind): string {
  const cues = { chords: chordCues, bars: barCues, sections: sectionCues }[kind](map);
  const blocks = cues.flatMap(({ from, to, text }, i) => {
    const [start, end] = [stamp(from), stamp(to)];
    return text === '' || start === end ? [] : [`${i + 1}\n${start} --> ${end}\n${escaped(text)}\n`];
  });
  return [`WEBVTT ${escaped(map.title)}`.trimEnd() + '\n', ...blocks].join('\n');
}

function chordCues(map: SongMap): Cue[] {
  const bars = barsOf(map);
  const end = Math.max(map.start, barEnd(map, bars.length - 1) || map.start);
  const first = bars[0]?.start ?? map.start;
  return map.chords.flatMap(({ harte, time }, i): Cue[] => {
    const from = map.spans[0]?.kind === 'lead-in' ? Math.max(time, first) : Math.max(time, map.start);
    const to = Math.min(map.chords[i + 1]?.time ?? end, end);
    return from < to && parseHarte(harte)?.kind !== 'unknown' ? [{ from, to, text: leadSheetText(harte) }] : [];
  });
}

function barCues(map: SongMap): Cue[] {
  return barsOf(map).map((bar, i) => {
    const own = chordsInBar(map, i);
    const over = own[0]?.beat === 0 ? undefined : chordAt(map, bar.start);
    const chords = [...(over ? [over] : []), ...own.map(({ chord }) => chord)].map(({ harte }) => leadSheetText(harte));
    const section = map.sections[sectionOfBar(map, i) ?? -1]?.name;
    const called = bar.pickup && barNumber(map, i) === 0 ? msg('pickup') : barName(map, i);
    const name = [section, called].filter((part) => part !== undefined).join(', ');
    return {
      from: bar.start,
      to: barEnd(map, i),
      text: [name, ...(chords.length ? [chords.join('  ')] : [])].join(': '),
    };
  });
}

function sectionCues(map: SongMap): Cue[] {
  return map.sections.flatMap(({ name }, i): Cue[] => {
    const range = sectionBars(map, i);
    const bars = barsOf(map);
    const from = range && bars[range.first]?.start;
    return from === undefined ? [] : [{ from, to: barEnd(map, range!.last), text: name }];
  });
}

/** `-->` must not stand in a text, `<` begins a tag and `&` a character: all three are written as characters. */
function escaped(text: string): string {
  return oneLine(text).replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}

function stamp(time: Seconds): string {
  const all = Math.round(time * 1000);
  const two = (n: number): string => String(n).padStart(2, '0');
  const [hours, minutes, whole] = [
    Math.floor(all / 3_600_000),
    Math.floor(all / 60_000) % 60,
    Math.floor(all / 1000) % 60,
  ];
  return `${two(hours)}:${two(minutes)}:${two(whole)}.${String(all % 1000).padStart(3, '0')}`;
}
