import { beatsOf, type Meter } from '../../music/meter.js';
import type { WrittenItem } from '../../model/fold/written-chart.js';
import { barEnd, barsOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';
import { beatLength, DIVISIONS, singleValue } from './rhythm.js';
import { element, plain, type Xml } from './xml.js';

/** A tempo is printed anew where a section is so much faster or slower than the one printed last. */
const PRINTED_CHANGE = 0.05;
/** A tempo is told to a player program where a bar is so much faster or slower than what it was told last. */
const PLAYED_CHANGE = 0.01;

/** The tempo at an item, for the eye and for programs that play. */
export interface TempoMark {
  readonly metronome?: Xml;
  /** Quarters a minute. */
  readonly played?: number;
}

/**
 * Tempo marks of a chart's items in turn. A written bar has the mean tempo of all the bars it stands for. Printed are the
 * song's median at the first bar, then changes of 5 % and more where a section begins, and another beat.
 */
export function tempoMarks(
  map: SongMap,
  items: readonly WrittenItem[],
  isHead: (place: number) => boolean,
): TempoMark[] {
  let printed: { readonly bpm: number; readonly beat: number } | undefined;
  let told = NaN;
  return items.map((item, place): TempoMark => {
    if (item.kind === 'free') {
      const quarters = freeQuarters(map, item.length);
      told = (60 * quarters) / item.length;
      return { played: told };
    }
    const seconds = item.bars.reduce((sum, bar) => sum + barEnd(map, bar) - (barsOf(map)[bar]?.start ?? NaN), 0);
    const bpm = (60 * beatsOf(item.meter) * item.bars.length) / seconds;
    const beat = beatLength(item.meter);
    const quarters = (bpm * beat) / DIVISIONS;
    const tell = !(Math.abs(quarters / told - 1) < PLAYED_CHANGE);
    if (tell) told = quarters;
    const here = sectionTempo(map, items, place, isHead) ?? bpm;
    const first = printed === undefined;
    const fresh = printed?.beat !== beat || (isHead(place) && Math.abs(here / printed.bpm - 1) >= PRINTED_CHANGE);
    if (fresh) printed = { bpm: first ? (tempoSummary(map)?.median ?? here) : here, beat };
    return {
      ...(fresh && printed ? { metronome: metronome(item.meter, printed.bpm) } : {}),
      ...(tell ? { played: quarters } : {}),
    };
  });
}

/** So many quarters stand for a free stretch, at the song's usual tempo. */
export function freeQuarters(map: SongMap, length: number): number {
  const bpm = tempoSummary(map)?.median ?? 60;
  return Math.max(1, Math.round((length * bpm * beatLength(map.prevailing)) / DIVISIONS / 60));
}

/** Mean tempo from a section's head to the next head. */
function sectionTempo(
  map: SongMap,
  items: readonly WrittenItem[],
  place: number,
  isHead: (place: number) => boolean,
): number | undefined {
  let [beats, seconds] = [0, 0];
  for (let at = place; at < items.length && (at === place || !isHead(at)); at++) {
    const item = items[at];
    if (item?.kind !== 'bar') break;
    for (const bar of item.bars) {
      beats += beatsOf(item.meter);
      seconds += barEnd(map, bar) - (barsOf(map)[bar]?.start ?? NaN);
    }
  }
  return seconds > 0 ? (60 * beats) / seconds : undefined;
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
