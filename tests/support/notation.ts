import {
  beatStartsOf,
  beatsOf,
  COMMON_TIME,
  meterText,
  parseMeter,
  sameMeter,
  withBeats,
  type Meter,
} from '../../src/music/meter.js';
import { barEnd, barsOf, chordsInBar, sectionOfBar, spanEnd } from '../../src/model/map-queries.js';
import type { Bar, ChordMark, Section, SongMap, Span } from '../../src/model/song-map.js';

/**
 * A song map on one line, with beats of equal length:
 *
 *     bars('- Verse: (1) 4 4:G,C@3 2 | Chorus: 4 7/8(2+2+3) ~3 3.5 | 4 -2')
 *
 * `4` is a bar of so many quarters (`3.5` too), `7/8` a bar of that time signature, `(1)` a pickup, `~3` a free stretch
 * as long as three beats (`~` four), `-2` a lead-in or a tail as long as two beats (`-` one). `|` begins a section and
 * `Name:` names it; without a name its letter is its name, and sections of one name share their letter. `:G,C@3` after
 * a bar puts chords on its beats, counted from 1. text() writes the same notation.
 */
export interface NotationOptions {
  /** Seconds a beat; 0.5 when left out. */
  readonly beat?: number;
  /** Where the map starts, in seconds; 0 when left out. */
  readonly start?: number;
  /** The prevailing time signature; the commonest of the bars when left out. */
  readonly prevailing?: string;
  readonly title?: string;
}

export function bars(notation: string, options: NotationOptions = {}): SongMap {
  const beat = options.beat ?? 0.5;
  const start = options.start ?? 0;
  const spans: Span[] = [];
  const chords: ChordMark[] = [];
  const sections: Section[] = [];
  const lengths: number[] = [];
  let now = start;
  let name = '';
  let fresh = true;
  const tokens = notation.match(/\||~[\d.]*|-[\d.]*(?=\s|$)|[^\s:|]+:(?=\s|$)|[^\s|]+/g) ?? [];
  for (const token of tokens) {
    if (token === '|') {
      fresh = true;
      name = '';
    } else if (/^[A-Za-z].*:$/.test(token)) {
      if (!fresh) throw new Error(`notation: "${token}" must stand before the first bar of its section`);
      name = token.slice(0, -1).replace(/_/g, ' ');
    } else if (token.startsWith('-')) {
      spans.push({ kind: spans.length === 0 ? 'lead-in' : 'tail', start: now });
      now += Number(token.slice(1) || 1) * beat;
    } else if (token.startsWith('~')) {
      spans.push({ kind: 'free', start: now });
      now += Number(token.slice(1) || 4) * beat;
    } else {
      const [measure = '', marks] = split(token);
      const pickup = /^\((.+)\)$/.exec(measure);
      const meter = readMeter(pickup?.[1] ?? measure);
      const beats = Array.from({ length: beatStartsOf(meter) }, (_, i) => now + i * beat);
      const bar: Bar = { kind: 'bar', start: now, beats, meter, ...(pickup ? { pickup: true } : {}), confidence: 0.9 };
      spans.push(bar);
      if (!pickup) lengths.push(spans.length - 1);
      if (fresh) {
        const same = sections.find((section) => name !== '' && section.name === name);
        const letter = same?.letter ?? letterAt(new Set(sections.map((section) => section.letter)).size);
        sections.push({
          id: `S${sections.length + 1}`,
          name: name || letter,
          letter,
          start: now,
          origin: 'suggested',
        });
        fresh = false;
      }
      for (const mark of marks?.split(/,(?![^(]*\))/) ?? []) {
        const [harte = '', at = '1'] = mark.split('@');
        const chord = { time: now + (Number(at) - 1) * beat, harte, origin: 'suggested', confidence: 0.8 } as const;
        chords.push(chord);
      }
      now += beatsOf(meter) * beat;
    }
  }
  const meters = lengths.map((i) => (spans[i] as Bar).meter);
  return {
    title: options.title ?? 'Paper Lanterns',
    recording: {
      fileName: 'paper-lanterns.wav',
      duration: now,
      sampleRate: 44100,
      channels: 2,
      contentId: 'ab'.repeat(32),
    },
    start,
    end: now,
    spans,
    prevailing: options.prevailing ? parseMeter(options.prevailing) : commonest(meters),
    tuning: 0,
    sections,
    chords,
    locks: [],
    doubts: [],
    analysis: 'test',
  };
}

/** The notation of a map; times are not written. */
export function text(map: SongMap, beat = 0.5): string {
  const words: string[] = [];
  let bar = 0;
  map.spans.forEach((span, place) => {
    const length = (spanEnd(map, place) - span.start) / beat;
    if (span.kind === 'lead-in' || span.kind === 'tail') words.push(length === 1 ? '-' : `-${round(length)}`);
    if (span.kind === 'free') words.push(length === 4 ? '~' : `~${round(length)}`);
    if (span.kind !== 'bar') return;
    const section = sectionOfBar(map, bar);
    const found = section === undefined ? undefined : map.sections[section];
    if (found && section !== sectionOfBar(map, bar - 1)) {
      if (section !== 0) words.push('|');
      if (found.name !== found.letter) words.push(`${found.name.replace(/ /g, '_')}:`);
    }
    words.push(barText(map, bar));
    bar++;
  });
  return words.join(' ');
}

/** Beats of each bar, as the screen would show them: "4 4 2 4". */
export function lengths(map: SongMap): string {
  return barsOf(map)
    .map((bar) => round(beatsOf(bar.meter)))
    .join(' ');
}

function barText(map: SongMap, index: number): string {
  const bar = barsOf(map)[index];
  if (!bar || Number.isNaN(barEnd(map, index))) return '?';
  const chords = chordsInBar(map, index).map(({ chord, beat }) => {
    return beat === 0 ? chord.harte : `${chord.harte}@${round(beat + 1)}`;
  });
  const quarters = bar.meter.beatUnits * 4 === bar.meter.unit && bar.meter.grouping === undefined;
  const measure = quarters ? String(round(beatsOf(bar.meter))) : meterText(bar.meter).replace(' ', '');
  return `${bar.pickup ? `(${measure})` : measure}${chords.length > 0 ? `:${chords.join(',')}` : ''}`;
}

function split(token: string): [string, string | undefined] {
  const colon = token.indexOf(':');
  return colon < 0 ? [token, undefined] : [token.slice(0, colon), token.slice(colon + 1)];
}

function readMeter(measure: string): Meter {
  return measure.includes('/') ? parseMeter(measure) : withBeats(COMMON_TIME, Number(measure));
}

function commonest(meters: readonly Meter[]): Meter {
  let best = meters[0] ?? COMMON_TIME;
  const count = (meter: Meter): number => meters.filter((other) => sameMeter(other, meter)).length;
  for (const meter of meters) if (count(meter) > count(best)) best = meter;
  return best;
}

function letterAt(n: number): string {
  return String.fromCharCode(65 + (n % 26)).repeat(1 + Math.floor(n / 26));
}

function round(value: number): number {
  return Number(value.toFixed(6));
}
