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
  const one = beats < WINDOW;
  const [x, y] = [windowsOf(a, one), windowsOf(b, one)];
  const sums = [0, 0, 0];
  const most = [0, 0, 0];
  let heard = 0;
  const note = (i: number, value: number): void => {
    sums[i] = (sums[i] as number) + value;
    most[i] = Math.max(most[i] as number, value);
  };
  for (let w = 0; w < Math.max(1, beats - WINDOW + 1); w++) {
    const chroma = distance(x, y, w, 0);
    if (chroma < 0) continue;
    heard += 1;
    note(0, chroma);
    note(1, Math.max(0, distance(x, y, w, 1)));
    note(2, triadLoss(x, y, w));
  }
  if (heard === 0) return undefined;
  return [0, 1, 2].flatMap((i) => [(sums[i] as number) / heard, most[i] as number]);
}

/** A sound's beats, two and two (or its first alone), each part of length 1, and what each triad has of them. */
interface Windows {
  readonly means: Float32Array;
  /** 1 where the part, chroma or bass, sounds: two a window. */
  readonly sounding: Uint8Array;
  /** [windows x TRIADS] */
  readonly likeness: Float64Array;
  /** Of the best triad. */
  readonly best: Float64Array;
}

const inPairs = new WeakMap<Float32Array, Windows>();
const alone = new WeakMap<Float32Array, Windows>();

/** Made once a sound: each bar is compared with all that stand in its column. */
function windowsOf({ beats, beatwise }: BarSound, one: boolean): Windows {
  const known = one ? alone : inPairs;
  const before = known.get(beatwise);
  if (before) return before;
  const count = one ? 1 : Math.max(1, beats - WINDOW + 1);
  const made: Windows = {
    means: new Float32Array(count * SOUND_SIZE),
    sounding: new Uint8Array(count * 2),
    likeness: new Float64Array(count * TRIADS.length),
    best: new Float64Array(count).fill(-Infinity),
  };
  for (let w = 0; w < count; w++) {
    const to = one ? Math.min(beats, 1) : Math.min(beats, w + WINDOW);
    const mean = windowMean(beatwise, w, to);
    made.means.set(mean, w * SOUND_SIZE);
    for (const part of [0, 1]) made.sounding[2 * w + part] = squareOf(mean, 12 * part) >= 0.5 ? 1 : 0;
    TRIADS.forEach((triad, i) => {
      const like = triadLikeness(mean, triad);
      made.likeness[w * TRIADS.length + i] = like;
      made.best[w] = Math.max(made.best[w] as number, like);
    });
  }
  known.set(beatwise, made);
  return made;
}

function windowMean(beatwise: Float32Array, from: number, to: number): Float32Array {
  const mean = new Float32Array(SOUND_SIZE);
  for (let beat = from; beat < to; beat++) {
    for (let k = 0; k < SOUND_SIZE; k++) mean[k] = (mean[k] as number) + (beatwise[beat * SOUND_SIZE + k] as number);
  }
  for (const at of [0, 12]) {
    const length = Math.sqrt(1e-12 + squareOf(mean, at));
    for (let k = at; k < at + 12; k++) mean[k] = (mean[k] as number) / length;
  }
  return mean;
}

function squareOf(values: Float32Array, at: number): number {
  let square = 0;
  for (let k = at; k < at + 12; k++) square += (values[k] as number) ** 2;
  return square;
}

/** Of chroma (part 0) or bass (part 1); -1 where one of both is silent. */
function distance(x: Windows, y: Windows, w: number, part: 0 | 1): number {
  if (x.sounding[2 * w + part] === 0 || y.sounding[2 * w + part] === 0) return -1;
  const at = w * SOUND_SIZE + 12 * part;
  let dot = 0;
  for (let k = at; k < at + 12; k++) dot += (x.means[k] as number) * (y.means[k] as number);
  return Math.max(0, 1 - dot);
}

/** Likeness of the best triad for each less that of the best triad for both. */
function triadLoss(x: Windows, y: Windows, w: number): number {
  let both = -Infinity;
  for (let at = w * TRIADS.length; at < (w + 1) * TRIADS.length; at++)
    both = Math.max(both, (x.likeness[at] as number) + (y.likeness[at] as number));
  return (x.best[w] as number) + (y.best[w] as number) - both;
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
