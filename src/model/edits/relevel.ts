import { beatsOf, type Meter, type NoteUnit } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import { spanEnd } from '../map-queries.js';
import type { Bar, SongMap, Span } from '../song-map.js';

/** Half as many beats, or twice as many. */
export type LevelFactor = 0.5 | 2;

/** Largest count a time signature is given here. */
const MOST_UNITS = 64;

/**
 * The measure with half or twice as many beats of the same note value, so that a bar keeps its duration: 4/4 becomes
 * 2/4 or 8/4, 3/4 becomes 3/8 with a quarter as its beat (one beat and a half). A grouping stays where it can be said.
 * Undefined when it cannot be written with sixteenths or goes beyond 64 units.
 */
export function scaleMeter(meter: Meter, factor: LevelFactor): Meter | undefined {
  const { count, unit, beatUnits, grouping } = meter;
  if (factor === 2) {
    if (count * 2 > MOST_UNITS) return undefined;
    // Halves of beats that are whole beats now are written in the larger unit again.
    if (beatUnits % 2 === 0 && unit > 1) return withGroups(count, (unit / 2) as NoteUnit, beatUnits / 2, grouping);
    return withGroups(
      count * 2,
      unit,
      beatUnits,
      grouping?.map((n) => n * 2),
    );
  }
  if (count % 2 === 0) {
    const halves = grouping?.every((n) => n % 2 === 0) ? grouping.map((n) => n / 2) : undefined;
    return withGroups(count / 2, unit, beatUnits, halves);
  }
  return unit * 2 > 16 ? undefined : withGroups(count, (unit * 2) as NoteUnit, beatUnits * 2, grouping);
}

function withGroups(count: number, unit: NoteUnit, beatUnits: number, grouping?: readonly number[]): Meter {
  return grouping === undefined ? { count, unit, beatUnits } : { count, unit, beatUnits, grouping };
}

/** The spans with half or twice the beats in the bars that start in [from, to); every bar keeps its start and end. */
export function relevelSpans(map: SongMap, factor: LevelFactor, from: Seconds, to: Seconds): readonly Span[] {
  return map.spans.map((span, i) => {
    if (span.kind !== 'bar' || span.start < from || span.start >= to) return span;
    return factor === 2 ? doubled(span, spanEnd(map, i)) : halved(span);
  });
}

function halved(bar: Bar): Bar {
  const beats = bar.beats.filter((_, i) => i % 2 === 0);
  const meter = scaleMeter(bar.meter, 0.5);
  if (meter) return { ...bar, beats, meter };
  // Too short to be written exactly: its beats as whole ones, until the map is solved again.
  const { unit, beatUnits } = bar.meter;
  return { ...bar, beats, meter: { count: beats.length * beatUnits, unit, beatUnits } };
}

function doubled(bar: Bar, end: Seconds): Bar {
  const meter = scaleMeter(bar.meter, 2);
  if (!meter) return bar;
  const length = beatsOf(bar.meter);
  const beats = bar.beats.flatMap((beat, i) => {
    // A part of a beat at the end holds its share of the two new beats.
    const share = Math.min(1, length - i);
    const step = ((bar.beats[i + 1] ?? end) - beat) / (2 * share);
    return 2 * share > 1 + 1e-9 ? [beat, beat + step] : [beat];
  });
  return { ...bar, beats, meter };
}
