import { prevailingAt, spanEnd } from '../../model/map-queries.js';
import type { Bar, SongMap } from '../../model/song-map.js';
import { tempoSummary } from '../../model/tempo.js';
import type { Meter } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';

/**
 * Ticks a quarter. Beats lie on whole ticks whatever it is; what lies between them, a chord or an upstroke, is at most half
 * a tick off: 0.5 ms at 60 bpm.
 */
export const TICKS = 960;
/** What the tempo event can say: microseconds a quarter in 24 bits (Standard MIDI Files 1.0, "FF 51 03"). */
const MOST_TEMPO = 2 ** 24 - 1;
/** What a time signature's numerator can say. */
const MOST_COUNT = 255;

/** A tempo from a tick on. */
export interface TempoChange {
  readonly tick: number;
  /** Microseconds a quarter. */
  readonly tempo: number;
}

/** A bar from a tick on: a bar of the map, or what stands for the lead-in or a free stretch. */
export interface MidiBar {
  readonly tick: number;
  readonly meter: Meter;
  /** The map's bar; absent in a lead-in or a free stretch. */
  readonly bar?: Bar;
  /** What it is where it is no whole bar. */
  readonly cue?: Cue;
}

/** The time of a recording in ticks: tick 0 is its time 0. */
export interface MidiClock {
  readonly tempi: readonly TempoChange[];
  readonly bars: readonly MidiBar[];
  readonly end: number;
  /** The nearest tick. */
  tickAt(time: Seconds): number;
}

/** Cue points that tell a reader, and our own import, what is no whole bar. */
export const CUES = { leadIn: 'Lead-in', free: 'Free time', pickup: 'Pickup' } as const;
export type Cue = (typeof CUES)[keyof typeof CUES];

interface Point {
  readonly time: Seconds;
  readonly tick: number;
}

/**
 * The tempo map of a recording: every beat has a tempo of its own, each chosen so that the beat's end comes out right by the
 * clock of a player, so that rounding to microseconds does not add up. What comes before the first bar, and a stretch
 * without a steady beat, is a bar of as many quarters as come nearest to the song's tempo.
 */
export function midiClock(map: SongMap): MidiClock {
  const points: Point[] = [];
  const bars: MidiBar[] = [];
  let tick = 0;
  const free = (from: Seconds, to: Seconds, cue: Cue): void => {
    const length = to - from;
    const most = Math.ceil((length * 1e6) / MOST_TEMPO);
    const quarters = Math.min(MOST_COUNT, Math.max(1, most, Math.round(length / quarterLength(map, from))));
    bars.push({ tick, meter: { count: quarters, unit: 4, beatUnits: 1 }, cue });
    points.push({ time: from, tick });
    tick += quarters * TICKS;
  };
  const first = map.spans.find(({ kind }) => kind !== 'lead-in')?.start ?? map.end;
  // Nothing can be told apart within a microsecond.
  if (first > 1e-6) free(0, first, CUES.leadIn);
  let end = first;
  map.spans.forEach((span, place) => {
    if (span.kind === 'free') free(span.start, spanEnd(map, place), CUES.free);
    if (span.kind === 'bar') {
      bars.push({ tick, meter: span.meter, bar: span, ...(span.pickup ? { cue: CUES.pickup } : {}) });
      const { count, unit, beatUnits } = span.meter;
      const units = (TICKS * 4) / unit;
      span.beats.forEach((time, beat) => points.push({ time, tick: tick + beat * beatUnits * units }));
      tick += count * units;
    }
    if (span.kind === 'free' || span.kind === 'bar') end = spanEnd(map, place);
  });
  points.push({ time: end, tick });
  return clockThrough(points, bars, tick);
}

function clockThrough(points: readonly Point[], bars: readonly MidiBar[], end: number): MidiClock {
  const tempi: TempoChange[] = [];
  /** When each point comes by the tempi written, in microseconds. */
  const times: number[] = [0];
  points.slice(0, -1).forEach(({ tick }, i) => {
    const next = points[i + 1] as Point;
    const quarters = (next.tick - tick) / TICKS;
    const wanted = next.time * 1e6 - (times[i] as number);
    const tempo = Math.min(MOST_TEMPO, Math.max(1, Math.round(wanted / quarters)));
    if (tempi.at(-1)?.tempo !== tempo) tempi.push({ tick, tempo });
    times.push((times[i] as number) + tempo * quarters);
  });
  const tickAt = (time: Seconds): number => {
    let low = 0;
    let high = points.length - 1;
    while (low < high - 1) {
      const middle = (low + high) >> 1;
      if ((points[middle] as Point).time <= time + 1e-9) low = middle;
      else high = middle;
    }
    const [from, to] = [points[low], points[high]];
    if (!from || !to || to.time <= from.time) return from?.tick ?? 0;
    const share = Math.min(1, Math.max(0, (time - from.time) / (to.time - from.time)));
    return Math.round(from.tick + share * (to.tick - from.tick));
  };
  return { tempi, bars, end, tickAt };
}

/** Seconds a quarter at the song's usual tempo. */
function quarterLength(map: SongMap, time: Seconds): Seconds {
  const { unit, beatUnits } = prevailingAt(map, time);
  const beat = 60 / (tempoSummary(map)?.median ?? 120);
  return (beat * unit) / (4 * beatUnits);
}
