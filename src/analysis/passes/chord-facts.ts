import { mod12 } from '../../music/pitch.js';
import { SOUND_SIZE, type BarSound } from './bar-sounds.js';

/** Beats that are compared together: chords mostly change at half a bar or slower. */
const WINDOW = 2;
/** Weight of the bass on a triad's root beside the likeness of the chroma to the triad. */
const ROOT = 0.6;

/**
 * What speaks for other chords in one of two bars, over the beats that both have: distances of chroma and of bass, and
 * what is lost when one and the same triad has to explain both; each as the mean of the bar and as the largest of any
 * two beats in a row. About 0 for the same.
 */
export const FACT_NAMES = ['chroma', 'chromaMost', 'bass', 'bassMost', 'triad', 'triadMost'] as const;
export type ChordFacts = readonly number[];

/** The facts for two bars; undefined when there is no sound to compare. */
export function chordFacts(a: BarSound, b: BarSound): ChordFacts | undefined {
  const beats = Math.min(a.beats, b.beats);
  const windows = Math.max(1, beats - WINDOW + 1);
  const sums = [0, 0, 0];
  const most = [0, 0, 0];
  let heard = 0;
  for (let w = 0; w < windows; w++) {
    const x = windowMean(a, w, Math.min(beats, w + WINDOW));
    const y = windowMean(b, w, Math.min(beats, w + WINDOW));
    const chroma = distance(x, y, 0);
    if (chroma === undefined) continue;
    heard += 1;
    const bass = distance(x, y, 12) ?? 0;
    [chroma, bass, triadLoss(x, y)].forEach((value, i) => {
      sums[i] = (sums[i] as number) + value;
      most[i] = Math.max(most[i] as number, value);
    });
  }
  if (heard === 0) return undefined;
  return [0, 1, 2].flatMap((i) => [(sums[i] as number) / heard, most[i] as number]);
}

function windowMean(sound: BarSound, from: number, to: number): Float32Array {
  const mean = new Float32Array(SOUND_SIZE);
  for (let beat = from; beat < to; beat++) {
    for (let k = 0; k < SOUND_SIZE; k++)
      mean[k] = (mean[k] as number) + (sound.beatwise[beat * SOUND_SIZE + k] as number);
  }
  for (const at of [0, 12]) {
    let square = 1e-12;
    for (let k = at; k < at + 12; k++) square += (mean[k] as number) ** 2;
    const length = Math.sqrt(square);
    for (let k = at; k < at + 12; k++) mean[k] = (mean[k] as number) / length;
  }
  return mean;
}

function distance(x: Float32Array, y: Float32Array, at: number): number | undefined {
  let dot = 0;
  let a = 0;
  let b = 0;
  for (let k = at; k < at + 12; k++) {
    dot += (x[k] as number) * (y[k] as number);
    a += (x[k] as number) ** 2;
    b += (y[k] as number) ** 2;
  }
  return a < 0.5 || b < 0.5 ? undefined : 1 - dot;
}

/** Likeness of the best triad for each less that of the best triad for both. */
function triadLoss(x: Float32Array, y: Float32Array): number {
  let bestX = -Infinity;
  let bestY = -Infinity;
  let both = -Infinity;
  for (const triad of TRIADS) {
    const likeX = triadLikeness(x, triad);
    const likeY = triadLikeness(y, triad);
    bestX = Math.max(bestX, likeX);
    bestY = Math.max(bestY, likeY);
    both = Math.max(both, likeX + likeY);
  }
  return bestX + bestY - both;
}

function triadLikeness(x: Float32Array, [root, third, fifth]: readonly [number, number, number]): number {
  return (
    ((x[root] as number) + (x[third] as number) + (x[fifth] as number)) * TRIAD_LENGTH +
    ROOT * Math.max(0, x[12 + root] as number)
  );
}

/** A triad's template less its mean has length 1.5 for weights of 1. */
const TRIAD_LENGTH = 1 / 1.5;

const TRIADS = Array.from({ length: 24 }, (_, i): readonly [number, number, number] => {
  const root = i % 12;
  return [root, mod12(root + (i < 12 ? 4 : 3)), mod12(root + 7)];
});
