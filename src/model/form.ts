import { beatsOf } from '../music/meter.js';
import type { Seconds } from '../music/units.js';
import { barEnd, barsOf, sectionBars, spanEnd } from './map-queries.js';
import type { SongMap } from './song-map.js';

/** The form of a song: parts that tile the whole recording, from 0 to its end. */
export interface Form {
  readonly parts: readonly FormPart[];
  readonly totals: {
    /** Whole bars; a pickup is none. */
    readonly bars: number;
    /** Of all bars and the pickup. */
    readonly beats: number;
    /** The recording's duration. */
    readonly seconds: Seconds;
  };
}

export type FormPart = FormSection | FormGap;

export interface FormSection {
  readonly kind: 'section';
  /** Its place among the map's sections. */
  readonly section: number;
  readonly name: string;
  readonly letter: string;
  /** Whole bars; a pickup is none. */
  readonly bars: number;
  /** Of its bars and the pickup. */
  readonly beats: number;
  /** From its first bar to where its last bar ends. */
  readonly from: Seconds;
  readonly to: Seconds;
  /** How long there is no steady beat between its bars; absent where there always is. */
  readonly free?: Seconds;
}

/** What is in no section: sound before the first bar and after the last, free time between sections, what the map leaves out. */
export interface FormGap {
  readonly kind: 'lead-in' | 'free' | 'tail' | 'outside';
  readonly from: Seconds;
  readonly to: Seconds;
}

/** The form of a map: its sections in order, and what is between them. */
export function formOf(map: SongMap): Form {
  const sections = map.sections.flatMap((_, section) => sectionPart(map, section) ?? []);
  const parts: FormPart[] = [];
  const add = (gap: FormGap): void => void (gap.to > gap.from && parts.push(gap));
  add({ kind: 'outside', from: 0, to: map.start });
  let next = 0;
  map.spans.forEach((span, place) => {
    if (span.kind === 'bar') {
      const section = sections[next];
      if (section?.from === span.start) {
        parts.push(section);
        next++;
      }
    } else if (span.start >= (sections[next - 1]?.to ?? -Infinity))
      add({ kind: span.kind, from: span.start, to: spanEnd(map, place) });
  });
  add({ kind: 'outside', from: map.end, to: map.recording.duration });
  const sum = (of: 'bars' | 'beats'): number => sections.reduce((total, section) => total + section[of], 0);
  return { parts, totals: { bars: sum('bars'), beats: sum('beats'), seconds: map.recording.duration } };
}

function sectionPart(map: SongMap, section: number): FormSection | undefined {
  const range = sectionBars(map, section);
  const found = map.sections[section];
  const own = range ? barsOf(map).slice(range.first, range.last + 1) : [];
  const from = own[0]?.start;
  if (!found || !range || from === undefined) return undefined;
  const to = barEnd(map, range.last);
  const inBars = own.reduce((sum, bar, i) => sum + barEnd(map, range.first + i) - bar.start, 0);
  const free = to - from - inBars;
  return {
    kind: 'section',
    section,
    name: found.name,
    letter: found.letter,
    bars: own.filter((bar) => !bar.pickup).length,
    beats: own.reduce((sum, bar) => sum + beatsOf(bar.meter), 0),
    from,
    to,
    ...(free > 1e-6 ? { free } : {}),
  };
}
