import type { Bpm, Seconds } from '../music/units.js';
import { sameTime, TIME_TOLERANCE } from './lock-holds.js';
import { countUpTo, indexOf, type MapIndex } from './map-index.js';
import type { SongMap, TempoSummary } from './song-map.js';

/** Beats on each side that are averaged with a beat for its tempo; one beat alone is too uneven to speak of. */
const REACH = 4;

const known = new WeakMap<MapIndex, readonly Bpm[]>();

/**
 * The tempo of each beat of the map, as many as there are beats: 60 over the mean duration of the beats around it
 * (4 on either side, not across a free stretch), a part of a beat at the end of a bar by its share.
 */
export function beatTempi(map: SongMap): readonly Bpm[] {
  const index = indexOf(map);
  const found = known.get(index);
  if (found) return found;
  const tempi = makeTempi(index);
  known.set(index, tempi);
  return tempi;
}

function makeTempi(index: MapIndex): Bpm[] {
  const { beats, bars, barOfBeat, firstBeat, ends } = index;
  // Time and count of beats passed since the run began; a run ends where the next bar does not follow at once.
  const elapsed: Seconds[] = [];
  const passed: number[] = [];
  const run: number[] = [];
  let runs = 0;
  beats.forEach((beat, i) => {
    const bar = barOfBeat[i] ?? 0;
    const isFirst = i === firstBeat[bar];
    if (isFirst && bar > 0 && !sameTime(ends[bar - 1] ?? NaN, beat)) runs++;
    const fresh = i === 0 || run[i - 1] !== runs;
    run.push(runs);
    elapsed.push(fresh ? 0 : (elapsed[i - 1] ?? 0) + beat - (beats[i - 1] ?? beat));
    passed.push(fresh ? 0 : (passed[i - 1] ?? 0) + beatShare(index, i - 1));
  });
  return beats.map((beat, i) => {
    let from = i;
    let to = i;
    while (from > 0 && i - from < REACH && run[from - 1] === run[i]) from--;
    while (to < beats.length - 1 && to - i < REACH && run[to + 1] === run[i]) to++;
    const lastOfRun = to === i || to === beats.length - 1 || run[to + 1] !== run[i];
    let time = (elapsed[to] ?? 0) - (elapsed[from] ?? 0);
    let count = (passed[to] ?? 0) - (passed[from] ?? 0);
    if (lastOfRun) {
      const bar = barOfBeat[to] ?? 0;
      time += (bars[bar]?.beats[to - (firstBeat[bar] ?? 0) + 1] ?? ends[bar] ?? beat) - (beats[to] ?? beat);
      count += beatShare(index, to);
    }
    return (60 * count) / time;
  });
}

/** 1 for a whole beat, less for a part of a beat at the end of its bar. */
function beatShare({ bars, barOfBeat, firstBeat }: MapIndex, beat: number): number {
  const bar = barOfBeat[beat] ?? 0;
  const found = bars[bar];
  if (!found || beat - (firstBeat[bar] ?? 0) < found.beats.length - 1) return 1;
  const rest = found.meter.count % found.meter.beatUnits;
  return rest === 0 ? 1 : rest / found.meter.beatUnits;
}

/** 5th, 50th and 95th percentile of the beats' tempi; undefined in a map without beats. */
export function tempoSummary(map: SongMap): TempoSummary | undefined {
  const sorted = [...beatTempi(map)].sort((a, b) => a - b);
  if (sorted.length === 0) return undefined;
  return { low: percentile(sorted, 0.05), median: percentile(sorted, 0.5), high: percentile(sorted, 0.95) };
}

/** The tempo at a time: that of the beat at or before it, or of the first; undefined in a map without beats. */
export function localTempo(map: SongMap, time: Seconds): Bpm | undefined {
  const place = countUpTo(indexOf(map).beats, time + TIME_TOLERANCE) - 1;
  return beatTempi(map)[Math.max(0, place)];
}

/** Value at a share of the way through ascending numbers, linear between neighbours. */
function percentile(sorted: readonly number[], share: number): number {
  const place = share * (sorted.length - 1);
  const below = sorted[Math.floor(place)] ?? NaN;
  const above = sorted[Math.ceil(place)] ?? NaN;
  return below + (above - below) * (place - Math.floor(place));
}
