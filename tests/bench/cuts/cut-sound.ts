import type { Pcm } from '../wav.js';

/** Seconds over which the two sides of a cut fade into each other. */
export const FADE = 0.02;

/**
 * The sound up to `out` seconds and then from `into` on, fading with equal power over FADE seconds around the joint, so
 * that sounds which have nothing to do with each other keep their level.
 */
export function cutSound({ rate, channels, samples }: Pcm, out: number, into: number): Pcm {
  const joint = Math.round(out * rate);
  const jump = Math.round((into - out) * rate);
  const half = Math.round((FADE * rate) / 2);
  const frames = samples.length / channels;
  const first = joint - half;
  if (Math.min(first, first + jump) < 0 || Math.max(joint + half, joint + half + jump) > frames)
    throw new RangeError(`cutSound: ${out} s and ${into} s are too near the ends`);
  const made = new Int16Array((frames - jump) * channels);
  made.set(samples.subarray(0, first * channels));
  for (let i = first; i < joint + half; i++) {
    const angle = ((i - first + 0.5) / (2 * half)) * (Math.PI / 2);
    for (let c = 0; c < channels; c++) {
      const [a, b] = [samples[i * channels + c] as number, samples[(i + jump) * channels + c] as number];
      const value = Math.round(Math.cos(angle) * a + Math.sin(angle) * b);
      made[i * channels + c] = Math.max(-32768, Math.min(32767, value));
    }
  }
  made.set(samples.subarray((joint + half + jump) * channels), (joint + half) * channels);
  return { rate, channels, samples: made };
}

/** What is struck near a time: when, in seconds, and by how many decibels the sound rises there. */
export interface Strike {
  readonly time: number;
  readonly rise: number;
}

/** How far, in seconds, an attack may lie from the grid; how long the stretches before and after it are; the steps tried. */
const REACH = 0.04;
const SPAN = 0.015;
const STEP = 0.002;

/**
 * The sharpest rise of energy near each of `times`, measured on the differences of neighbouring samples, which weigh the high
 * partials of an attack. Plain on purpose and apart from the analysis: the same song is cut the same whatever changes there.
 */
export function strikesAt({ rate, channels, samples }: Pcm, times: readonly number[]): Strike[] {
  const frames = samples.length / channels;
  const sums = new Float64Array(frames + 1);
  let before = 0;
  for (let i = 0; i < frames; i++) {
    let here = 0;
    for (let c = 0; c < channels; c++) here += samples[i * channels + c] as number;
    sums[i + 1] = (sums[i] as number) + (here - before) ** 2;
    before = here;
  }
  const energy = (from: number, to: number): number => {
    const [a, b] = [from, to].map((time) => Math.max(0, Math.min(frames, Math.round(time * rate)))) as [number, number];
    return ((sums[b] as number) - (sums[a] as number)) / Math.max(1, b - a);
  };
  return times.map((time) => {
    let best: Strike = { time, rise: -Infinity };
    for (let t = time - REACH; t <= time + REACH + 1e-9; t += STEP) {
      const rise = 10 * Math.log10((energy(t, t + SPAN) + 1) / (energy(t - SPAN, t) + 1));
      if (rise > best.rise) best = { time: t, rise };
    }
    return best;
  });
}
