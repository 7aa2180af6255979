import { beatStartsOf } from '../../../music/meter.js';
import type { BarIndex, BeatIndex, Seconds } from '../../../music/units.js';
import { lockStretch } from '../../../model/lock-stretch.js';
import type { Lock } from '../../../model/locks.js';
import type { SongMap } from '../../../model/song-map.js';
import { prevailingAt } from '../../../model/map-queries.js';
import { barList, lastStarted, type BarItem } from '../bar-list.js';
import { notchText, SURE } from '../map-view/boxes.js';
import { timeToX, type Scale } from './time-scale.js';

export interface BarMark {
  readonly bar: BarIndex;
  readonly x: number;
  /** To the next bar line, or to where the bar's sound ends. */
  readonly width: number;
  readonly doubtful: boolean;
  /** Its number, where there is room for it. */
  readonly label?: string;
  /** Where the number stands: at the line, or at the left edge when the line is out of sight. */
  readonly labelX: number;
  /** "2", "3½", "6/8": only on an irregular bar. */
  readonly notch?: string;
}

export interface BeatMark {
  readonly bar: BarIndex;
  readonly beat: BeatIndex;
  readonly x: number;
}

export interface BandMark {
  readonly x: number;
  readonly width: number;
  readonly letter: string;
  readonly name: string;
  readonly suggested: boolean;
}

export interface PinMark {
  readonly id: string;
  readonly kind: Lock['kind'];
  readonly x: number;
  /** Right end of a lock that covers a stretch. */
  readonly to?: number;
}

export interface StretchMark {
  readonly kind: 'lead-in' | 'free' | 'tail';
  readonly x: number;
  readonly width: number;
}

/** Everything the close-up draws, in CSS pixels from its left edge; what lies outside is left out. */
export interface CloseUp {
  readonly bars: readonly BarMark[];
  /** Beats inside bars (never beat 1), only when there is room for them. */
  readonly beats: readonly BeatMark[];
  readonly bands: readonly BandMark[];
  readonly pins: readonly PinMark[];
  readonly stretches: readonly StretchMark[];
  /** Where the last bar ends, if that is in sight and no bar starts there. */
  readonly closing?: number;
}

/** Room in CSS pixels that a bar number and its gap take, and what a beat needs to be drawn. */
const LABEL_ROOM = 30;
const BEAT_ROOM = 7;
const STEPS = [1, 2, 4, 8, 16, 32, 64] as const;

/**
 * Bar numbers are thinned to every 1, 2, 4, 8... so that they never touch: bars 1, 5, 9 rather than 4, 8, 12, as phrases begin.
 * `width` is the narrowest usual bar in CSS pixels.
 */
export function numberStep(width: number): number {
  return STEPS.find((step) => step * width >= LABEL_ROOM) ?? 128;
}

/** What to draw of `map` in the window that `scale` says. */
export function closeUp(map: SongMap, scale: Scale): CloseUp {
  const list = barList(map);
  const until = scale.from + scale.span;
  const first = Math.max(0, lastStarted(list, scale.from));
  const last = lastStarted(list, until);
  const seen = list.slice(first, last + 1).filter((item) => item.end >= scale.from);
  const usual = usualWidth(seen, scale);
  const step = numberStep(usual.bar);

  const bars = seen.map((item): BarMark => {
    const x = timeToX(scale, item.start);
    return {
      bar: item.index,
      x,
      width: timeToX(scale, item.end) - x,
      doubtful: item.doubtful || item.bar.confidence < SURE,
      label: isLabelled(item, step) ? String(item.number) : undefined,
      labelX: Math.max(x, 0),
      notch: item.irregular ? notchText(item.bar.meter, prevailingAt(map, item.start)) : undefined,
    };
  });
  const beats: BeatMark[] = [];
  if (usual.beat >= BEAT_ROOM) {
    for (const item of seen) {
      item.bar.beats.forEach((time, beat) => {
        if (beat > 0) beats.push({ bar: item.index, beat, x: timeToX(scale, time) });
      });
    }
  }
  const end = seen.at(-1)?.end;
  const closed = end !== undefined && end <= until && list[last + 1] === undefined;
  return {
    bars: thinLabels(bars),
    beats,
    bands: bandMarks(map, list, scale),
    pins: map.locks.flatMap((lock) => pinMarks(lock, scale)).sort((a, b) => a.x - b.x),
    stretches: stretchMarks(map, scale),
    closing: closed ? timeToX(scale, end) : undefined,
  };
}

/** A pickup in front of all is labelled 0; a later one has no number of its own. */
function isLabelled({ number, bar }: BarItem, step: number): boolean {
  return bar.pickup ? number === 0 : (number - 1) % step === 0;
}

function usualWidth(seen: readonly BarItem[], scale: Scale): { readonly bar: number; readonly beat: number } {
  const perSecond = scale.width / scale.span;
  const lengths = seen.filter((item) => !item.bar.pickup).map((item) => item.end - item.start);
  const beats = seen.map((item) => (item.end - item.start) / beatStartsOf(item.bar.meter));
  return { bar: lowMiddle(lengths) * perSecond, beat: lowMiddle(beats) * perSecond };
}

/** The lower quartile: a few short bars do not thin the numbers of all the others. */
function lowMiddle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 4)] ?? 0;
}

/** Drops a number that would touch the next or the one before it, as beside a bar much shorter than the rest; a pickup gives way to bar 1. */
function thinLabels(bars: readonly BarMark[]): readonly BarMark[] {
  let free = -Infinity;
  return bars.map((mark, place) => {
    if (mark.label === undefined) return mark;
    const next = bars[place + 1];
    const room = LABEL_ROOM - 10;
    const yields = mark.label === '0' || mark.x < 0;
    if (mark.labelX < free || (yields && next && next.x - mark.labelX < room)) return { ...mark, label: undefined };
    free = mark.labelX + room;
    return mark;
  });
}

function bandMarks(map: SongMap, list: readonly BarItem[], scale: Scale): readonly BandMark[] {
  const end = list.at(-1)?.end ?? map.end;
  return map.sections.flatMap((section, place) => {
    const x = timeToX(scale, section.start);
    const right = timeToX(scale, map.sections[place + 1]?.start ?? end);
    if (right <= 0 || x >= scale.width) return [];
    const { letter, name, origin } = section;
    return [{ x, width: right - x, letter, name, suggested: origin === 'suggested' }];
  });
}

/** Where a lock is pinned: at its time, at both ends of its stretch, or at each of its bar lines. */
function pinMarks(lock: Lock, scale: Scale): readonly PinMark[] {
  const stretch = lockStretch(lock);
  const x = timeToX(scale, stretch.from);
  const to = stretch.to > stretch.from ? timeToX(scale, stretch.to) : undefined;
  if ((to ?? x) < -8 || x > scale.width + 8) return [];
  return [{ id: lock.id, kind: lock.kind, x, to }];
}

function stretchMarks(map: SongMap, scale: Scale): readonly StretchMark[] {
  return map.spans.flatMap((span, place) => {
    if (span.kind === 'bar') return [];
    const x = timeToX(scale, span.start);
    const right = timeToX(scale, map.spans[place + 1]?.start ?? map.end);
    return right < 0 || x > scale.width ? [] : [{ kind: span.kind, x, width: right - x }];
  });
}

/** The beat line within `reach` CSS pixels of `x`, nearest first; bar lines count as beats. */
export function nearestBeat(
  map: SongMap,
  scale: Scale,
  x: number,
  reach: number,
): { readonly time: Seconds; readonly bar: BarIndex; readonly beat: BeatIndex } | undefined {
  const list = barList(map);
  const around = lastStarted(list, scale.from + (x / scale.width) * scale.span);
  let best: { readonly time: Seconds; readonly bar: BarIndex; readonly beat: BeatIndex } | undefined;
  let distance = reach;
  for (const item of list.slice(Math.max(0, around - 1), around + 2)) {
    item.bar.beats.forEach((time, beat) => {
      const off = Math.abs(timeToX(scale, time) - x);
      if (off <= distance) {
        distance = off;
        best = { time, bar: item.index, beat };
      }
    });
  }
  return best;
}
