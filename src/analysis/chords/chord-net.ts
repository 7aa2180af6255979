import { decodeBase64 } from '../../dsp/base64.js';
import { mod12 } from '../../music/pitch.js';
import { HARMONY_WIDTH } from './beat-harmony.js';
import { FIRST, LAST, SECOND } from './chord-net-weights.js';
import { CHORD_STATES, KINDS } from './vocabulary.js';

/** Beats heard at once: the one before, the beat, the one after. */
const CONTEXT = 3;
/** The loudest note of a beat is taken as at least this. */
const LEAST_PEAK = 0.05;

interface Layer {
  readonly inputs: number;
  readonly outputs: number;
  /** Row by row, the constant last. */
  readonly weights: Float32Array;
}

/**
 * Log-probability of each chord on each beat, [beats x CHORD_STATES]: a network with two hidden layers over the chroma and
 * bass of three beats, turned round to each of the twelve roots, so that it knows no key. `values`: as from beatHarmony,
 * beats one after another.
 *
 * Source of the method: chords as a classification of chroma with its context, Humphrey & Bello, ICMLA 2012; one set of weights
 * for all roots as in Humphrey, Cho & Bello, ICASSP 2012. Weights: see src/training/README.md. Beats that are not `wanted` stay zero.
 */
export function chordLikelihoods(values: Float32Array, wanted: (beat: number) => boolean = () => true): Float64Array {
  const count = values.length / HARMONY_WIDTH;
  const size = CHORD_STATES.length;
  const heard = prepared(values);
  const [first, second, last] = layers();
  const out = new Float64Array(count * size);
  const input = new Float32Array(CONTEXT * HARMONY_WIDTH);
  const a = new Float32Array(first.outputs);
  const b = new Float32Array(second.outputs);
  const c = new Float32Array(last.outputs);
  for (let beat = 0; beat < count; beat++) {
    if (!wanted(beat)) continue;
    let none = 0;
    for (let root = 0; root < 12; root++) {
      turn(heard, beat, count, root, input);
      apply(first, input, a, true);
      apply(second, a, b, true);
      apply(last, b, c, false);
      for (let kind = 0; kind < KINDS.length; kind++) out[beat * size + kind * 12 + root] = c[kind] as number;
      none += (c[KINDS.length] as number) / 12;
    }
    out[beat * size + size - 1] = none;
    normalise(out.subarray(beat * size, (beat + 1) * size));
  }
  return out;
}

/** Square roots, chroma and bass each over its largest of the beat. */
function prepared(values: Float32Array): Float32Array {
  const out = new Float32Array(values.length);
  for (let at = 0; at < values.length; at += 12) {
    let peak = LEAST_PEAK;
    for (let k = 0; k < 12; k++) peak = Math.max(peak, Math.sqrt(values[at + k] as number));
    for (let k = 0; k < 12; k++) out[at + k] = Math.sqrt(values[at + k] as number) / peak;
  }
  return out;
}

/** The three beats around `beat`, pitch classes counted from `root`; zeros before the first beat and after the last. */
function turn(heard: Float32Array, beat: number, count: number, root: number, into: Float32Array): void {
  for (let c = 0; c < CONTEXT; c++) {
    const other = beat + c - 1;
    for (let half = 0; half < 2; half++) {
      const to = c * HARMONY_WIDTH + half * 12;
      const from = other * HARMONY_WIDTH + half * 12;
      for (let k = 0; k < 12; k++)
        into[to + k] = other < 0 || other >= count ? 0 : (heard[from + mod12(k + root)] as number);
    }
  }
}

function apply({ inputs, outputs, weights }: Layer, from: Float32Array, to: Float32Array, rectified: boolean): void {
  for (let o = 0; o < outputs; o++) {
    const row = o * (inputs + 1);
    let sum = weights[row + inputs] as number;
    for (let i = 0; i < inputs; i++) sum += (weights[row + i] as number) * (from[i] as number);
    to[o] = rectified && sum < 0 ? 0 : sum;
  }
}

function normalise(scores: Float64Array): void {
  let top = -Infinity;
  for (const score of scores) top = Math.max(top, score);
  let sum = 0;
  for (const score of scores) sum += Math.exp(score - top);
  const total = top + Math.log(sum);
  for (let s = 0; s < scores.length; s++) scores[s] = (scores[s] as number) - total;
}

let unpacked: readonly [Layer, Layer, Layer] | undefined;

function layers(): readonly [Layer, Layer, Layer] {
  return (unpacked ??= [unpack(FIRST), unpack(SECOND), unpack(LAST)]);
}

function unpack(packed: { outputs: number; inputs: number; scale: number; data: string }): Layer {
  const { outputs, inputs, scale, data } = packed;
  const count = outputs * (inputs + 1);
  const bytes = decodeBase64(data);
  const weights = Float32Array.from({ length: count }, (_, i) => {
    const value = (bytes[2 * i] as number) + 256 * (bytes[2 * i + 1] as number);
    return scale * (value > 32767 ? value - 65536 : value);
  });
  return { inputs, outputs, weights };
}
