import { beatsOf, type Meter } from '../../music/meter.js';
import type { WrittenBar, WrittenItem } from '../../model/fold/written-chart.js';
import { barEnd, barsOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';
import { beatLength, DIVISIONS, singleValue } from './rhythm.js';
import { element, plain, type Xml } from './xml.js';

/**
 * Another tempo is one that differs by so much in every one of so many bars. Less, or over sooner, is how people play: the
 * reader follows the recording, and a mark at every drift would only be read past (common practice, no source).
 */
const CHANGE = 0.06;
const LASTING = 4;

/** A tempo to print and to play. */
export interface TempoMark {
  readonly metronome: Xml;
  /** Quarters a minute. */
  readonly quarters: number;
}

/** A tempo, by the length of its beat in divisions. */
interface Tempo {
  readonly bpm: number;
  readonly beat: number;
}

/**
 * Tempo marks of a chart's items in turn, undefined where none stands. A written bar has the mean tempo of all the bars it
 * stands for. The first bar has the song's median unless the song begins at another tempo; later ones have one where tempo
 * or beat change for long. Programs are told no other tempo: some print whatever they are told.
 */
export function tempoMarks(map: SongMap, items: readonly WrittenItem[]): readonly (TempoMark | undefined)[] {
  let printed: Tempo | undefined;
  return items.map((item, place) => {
    if (item.kind === 'free') return undefined;
    const median = tempoSummary(map)?.median;
    const isUsual = median !== undefined && beatLength(item.meter) === beatLength(map.prevailing);
    const first = isUsual ? { bpm: median, beat: beatLength(item.meter) } : tempoOf(map, [item]);
    const now = lastingTempo(map, items, place, printed ?? first) ?? (printed ? undefined : first);
    if (!now) return undefined;
    printed = now;
    return { metronome: metronome(item.meter, now.bpm), quarters: quartersOf(now) };
  });
}

/** So many quarters stand for a free stretch, at the song's usual tempo. */
export function freeQuarters(map: SongMap, length: number): number {
  const bpm = tempoSummary(map)?.median ?? 60;
  return Math.max(1, Math.round((length * bpm * beatLength(map.prevailing)) / DIVISIONS / 60));
}

/** The tempo from an item on, if it is another than `before` for long. */
function lastingTempo(map: SongMap, items: readonly WrittenItem[], place: number, before: Tempo): Tempo | undefined {
  const next = items.slice(place, place + LASTING).filter((item): item is WrittenBar => item.kind === 'bar');
  if (next.length < LASTING) return undefined;
  const here = tempoOf(map, next);
  const ways = next.map((bar) => {
    const own = tempoOf(map, [bar]);
    if (own.beat !== here.beat) return 'mixed';
    if (own.beat !== before.beat) return 'beat';
    const ratio = quartersOf(own) / quartersOf(before);
    return ratio > 1 + CHANGE ? 'faster' : ratio < 1 - CHANGE ? 'slower' : 'alike';
  });
  const [way] = ways;
  if (way === 'alike' || way === 'mixed' || ways.some((each) => each !== way)) return undefined;
  return here;
}

/** The mean tempo of written bars, in beats of the first one's. */
function tempoOf(map: SongMap, bars: readonly WrittenBar[]): Tempo {
  let [beats, seconds] = [0, 0];
  for (const { meter, bars: own } of bars) {
    beats += beatsOf(meter) * own.length;
    for (const bar of own) seconds += barEnd(map, bar) - (barsOf(map)[bar]?.start ?? NaN);
  }
  return { bpm: (60 * beats) / seconds, beat: beatLength(bars[0]!.meter) };
}

function quartersOf({ bpm, beat }: Tempo): number {
  return (bpm * beat) / DIVISIONS;
}

function metronome(meter: Meter, bpm: number): Xml {
  const value = singleValue(beatLength(meter)) ?? { type: 'quarter', dots: 0 };
  const dots = Array.from({ length: value.dots }, () => plain('beat-unit-dot'));
  return element(
    'metronome',
    { parentheses: 'no' },
    plain('beat-unit', value.type),
    dots,
    plain('per-minute', Math.round(bpm)),
  );
}
