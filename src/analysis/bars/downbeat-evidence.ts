import { meanAndDeviation } from '../../dsp/series.js';
import { ONSET_BANDS } from '../evidence/evidence.js';
import { ACCENTS, type BeatFeatures } from '../evidence/features/beat-features.js';

/**
 * Weights of a logistic regression of "is beat 1" on what is heard at a beat, at the one before and the one after, each as
 * the deviation (of its square root) from the song's own mean. Fitted on true beats of rendered and real songs, every
 * song counting the same, ridge penalty; rows: before, here, after.
 */
const WITHOUT_NETWORK: Weights = {
  chord: [-0.332, 0.535, -0.278],
  bass: [-0.248, 0.999, -0.66],
  track: [-0.238, 0.856, -0.498],
  low: [0.281, 0.216, -0.232],
  middle: [0.207, 0.018, -0.197],
  high: [0.054, -0.134, 0.025],
  half: [0.387, -0.864, 0.322],
};
/** The same fitted with the network's log odds (as they are) among what is heard. */
const WITH_NETWORK: Weights = {
  chord: [-0.148, 0.092, -0.002],
  bass: [-0.334, 0.854, -0.551],
  track: [0.179, 0.21, -0.145],
  low: [0.208, 0.144, -0.131],
  middle: [0.034, -0.064, -0.117],
  high: [0.121, -0.185, -0.186],
  half: [-0.09, -0.314, 0.271],
  network: [-0.094, 0.634, -0.059],
};
const BIAS = -2.058;
const BIAS_WITH_NETWORK = -2.325;

type Weights = Readonly<Partial<Record<keyof Heard, readonly [number, number, number]>>>;

/** One value a beat each; `half` is what sounds half-way to the next beat. */
interface Heard {
  readonly chord: Float32Array;
  readonly bass: Float32Array;
  readonly track: Float32Array;
  readonly low: Float32Array;
  readonly middle: Float32Array;
  readonly high: Float32Array;
  readonly half: Float32Array;
  readonly network?: Float32Array;
}

/** Log odds that each beat begins a bar, whatever the song's own pattern: change of harmony, low attacks, their surroundings. */
export function downbeatEvidence(features: BeatFeatures): Float32Array {
  const { count } = features;
  const out = new Float32Array(count).fill(features.heard ? BIAS_WITH_NETWORK : BIAS);
  const heard = heardAt(features);
  const weights = features.heard ? WITH_NETWORK : WITHOUT_NETWORK;
  for (const key of Object.keys(weights) as (keyof Heard)[]) {
    const values = heard[key];
    const row = weights[key];
    if (!values || !row) continue;
    const [before, here, after] = row;
    for (let i = 0; i < count; i++) {
      let sum = here * (values[i] as number);
      if (i > 0) sum += before * (values[i - 1] as number);
      if (i + 1 < count) sum += after * (values[i + 1] as number);
      out[i] = (out[i] as number) + sum;
    }
  }
  return out;
}

function heardAt(features: BeatFeatures): Heard {
  const { accents } = features;
  const standard: Float32Array[] = [];
  for (let d = 0; d < ACCENTS; d++)
    standard.push(standardised(features.count, (i) => accents[i * ACCENTS + d] as number));
  const mean = (...columns: number[]): Float32Array => {
    const out = new Float32Array(features.count);
    for (const d of columns) {
      const column = standard[d] as Float32Array;
      for (let i = 0; i < out.length; i++) out[i] = (out[i] as number) + (column[i] as number) / columns.length;
    }
    return out;
  };
  return {
    chord: standardised(features.count, (i) => features.chordChange[i] as number),
    bass: standardised(features.count, (i) => features.bassChange[i] as number),
    track: standardised(features.count, (i) => features.downbeat[i] as number),
    low: mean(0),
    middle: mean(1, 2),
    high: mean(3, 4),
    ...(features.heard && { network: features.heard }),
    half: mean(...Array.from({ length: ONSET_BANDS }, (_, band) => ONSET_BANDS + band)),
  };
}

/** Square roots, less their mean, over their deviation, within 3; all 0 when they do not vary. */
function standardised(count: number, value: (i: number) => number): Float32Array {
  const roots = new Float32Array(count);
  for (let i = 0; i < count; i++) roots[i] = Math.sqrt(Math.max(0, value(i)));
  const { mean, deviation } = meanAndDeviation(roots);
  if (deviation < 1e-4) return roots.fill(0);
  for (let i = 0; i < count; i++) roots[i] = Math.max(-3, Math.min(3, ((roots[i] as number) - mean) / deviation));
  return roots;
}
