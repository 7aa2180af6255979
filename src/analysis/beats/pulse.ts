import { meanAndDeviation, quantile } from '../../dsp/series.js';
import { frameCount, type Evidence, type Track } from '../evidence/evidence.js';
import { heardNear } from '../evidence/features/heard.js';

/** The beat track made ready for tracking. */
export interface Pulse {
  readonly rate: number;
  readonly frames: number;
  /** What a beat at each frame is worth: mean 0 and deviation 1 over the sounding part. */
  readonly worth: Float32Array;
  /** The same from what the network hears alone; missing where it was not asked. */
  readonly heard?: Float32Array;
  /** First and last sounding frame. */
  readonly first: number;
  readonly last: number;
}

/** Share of the network in the worth of a beat; the rest is the attack's strength, which tells the exact place. */
const HEARD = 0.65;
/** Seconds by which the network's peaks are widened. */
const BLUR = 0.02;

/** Decibels below the loud parts (95th percentile) that still count as sounding. */
const QUIET = 45;

export function pulseOf(evidence: Evidence): Pulse {
  const { beat, level } = evidence.tracks;
  const frames = frameCount(beat);
  const loud = level.data.length > 0 ? quantile(level.data, 0.95) : 0;
  const least = Math.max(1, loud - (QUIET * 255) / 90);
  let first = 0;
  let last = frames - 1;
  const levelAt = (i: number): number => level.data[Math.round((i * level.rate) / beat.rate) * level.width] ?? 0;
  while (first < last && levelAt(first) < least) first++;
  const sounds = (i: number): boolean => levelAt(i) >= least;
  // A click or a cough after the end is no music: half as much of the second before has to sound as is usual in the song.
  const second = Math.round(beat.rate);
  const need = 0.5 * usualShare(sounds, first, last, second);
  let sounding = 0;
  for (let i = Math.max(first, last - second + 1); i <= last; i++) if (sounds(i)) sounding++;
  while (last > first && (!sounds(last) || sounding < need * Math.min(second, last - first + 1))) {
    if (sounds(last)) sounding--;
    last--;
    if (last - second + 1 >= first && sounds(last - second + 1)) sounding++;
  }
  const { mean, deviation } = meanAndDeviation(beat.data.subarray(first, last + 1));
  const worth = new Float32Array(frames);
  const scale = 1 / (deviation + 1e-6);
  for (let i = 0; i < frames; i++) {
    const here = beat.data[i] as number;
    const near = 0.7 * Math.max(beat.data[i - 1] ?? 0, beat.data[i + 1] ?? 0);
    worth[i] = deviation > 0 ? (Math.max(here, near) - mean) * scale : 0;
  }
  const track = evidence.tracks.heardBeat;
  if (!track) return { rate: beat.rate, frames, worth, first, last };
  const heard = heardWorth(track, beat.rate, frames, first, last);
  const both = standardised(
    worth.map((attack, i) => (1 - HEARD) * attack + HEARD * (heard[i] as number)),
    first,
    last,
  );
  return { rate: beat.rate, frames, worth: both, heard, first, last };
}

/** The share of frames that sound in the median second from `first` to `last`: 1 in most music, far less in a click track. */
function usualShare(sounds: (frame: number) => boolean, first: number, last: number, second: number): number {
  const shares: number[] = [];
  for (let from = first; from + second - 1 <= last; from += second) {
    let count = 0;
    for (let i = from; i < from + second; i++) if (sounds(i)) count++;
    if (count > 0) shares.push(count / second);
  }
  return shares.length > 0 ? quantile(shares, 0.5) : 1;
}

/** Log odds of a beat in each frame, evened to mean 0 and deviation 1 over the sounding part. */
function heardWorth(track: Track, rate: number, frames: number, first: number, last: number): Float32Array {
  const odds = Float32Array.from({ length: frames }, (_, i) => heardNear(track, i / rate, BLUR));
  return standardised(odds, first, last);
}

function standardised(values: Float32Array, first: number, last: number): Float32Array {
  const { mean, deviation } = meanAndDeviation(values.subarray(first, last + 1));
  return deviation > 1e-6 ? values.map((value) => (value - mean) / deviation) : values.fill(0);
}
