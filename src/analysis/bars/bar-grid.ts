import type { Bar, Span } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import { frameCount, type Track } from '../evidence/evidence.js';

/** A bar with its end. */
export interface BarSlot {
  readonly bar: Bar;
  readonly start: Seconds;
  readonly end: Seconds;
}

/** A beat with its end and its place. */
export interface BeatSlot {
  readonly time: Seconds;
  readonly end: Seconds;
  /** Index into the bar slots. */
  readonly bar: number;
  /** Index of the beat in its bar, counted from the bar's end for a pickup: the last beat of a 4/4 pickup is 3. */
  readonly place: number;
}

/** The bars among `spans`, which tile time up to `end`. */
export function barSlots(spans: readonly Span[], end: Seconds): BarSlot[] {
  const slots: BarSlot[] = [];
  spans.forEach((span, i) => {
    if (span.kind === 'bar') slots.push({ bar: span, start: span.start, end: spans[i + 1]?.start ?? end });
  });
  return slots;
}

export function beatSlots(bars: readonly BarSlot[]): BeatSlot[] {
  const slots: BeatSlot[] = [];
  bars.forEach(({ bar, end }, index) => {
    bar.beats.forEach((time, k) => {
      const place = bar.pickup ? k - bar.beats.length : k;
      slots.push({ time, end: bar.beats[k + 1] ?? end, bar: index, place });
    });
  });
  return slots;
}

/** Means of a track over stretches of time, each in constant time after one pass over the track. */
export interface TrackMeans {
  readonly width: number;
  /** Writes the mean of the frames centred in [from, to), at least the nearest one, at `at` in `into`. */
  mean(from: Seconds, to: Seconds, into: Float32Array, at: number): void;
}

const cache = new WeakMap<Track, TrackMeans>();

export function trackMeans(track: Track): TrackMeans {
  const known = cache.get(track);
  if (known) return known;
  const { width, rate, data } = track;
  const count = frameCount(track);
  const sums = new Float64Array((count + 1) * width);
  for (let i = 0; i < count * width; i++) sums[i + width] = (sums[i] as number) + (data[i] as number);
  const means: TrackMeans = {
    width,
    mean(from, to, into, at) {
      if (count === 0) {
        into.fill(0, at, at + width);
        return;
      }
      let first = Math.ceil(from * rate - 1e-6);
      let last = Math.ceil(to * rate - 1e-6);
      if (last <= first) {
        first = Math.round(((from + to) / 2) * rate);
        last = first + 1;
      }
      first = Math.min(count - 1, Math.max(0, first));
      last = Math.min(count, Math.max(first + 1, last));
      for (let k = 0; k < width; k++) {
        into[at + k] = ((sums[last * width + k] as number) - (sums[first * width + k] as number)) / (last - first);
      }
    },
  };
  cache.set(track, means);
  return means;
}
