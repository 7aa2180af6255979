import type { HeardFacts, LevelFacts } from './level-facts.js';

interface Weights {
  readonly weights: Readonly<Record<keyof LevelFacts, number>>;
  /** For bars of other than four beats. */
  readonly barWeights: Readonly<Record<number, number>>;
}

/**
 * Weights of a conditional logistic regression: among all ways to count a song, which is the annotated one. Fitted on
 * rendered and real songs with known beats, ridge penalty, leaving out one song at a time to choose it.
 */
const WITHOUT_NETWORK: Weights = {
  weights: {
    fast: -0.187,
    slow: -0.71,
    barLength: -0.243,
    onBeat: 0.987,
    half: 0.036,
    third: -1.303,
    quarter: -1.22,
    parity: -0.181,
    pattern: -0.145,
    downbeat: 1.363,
    backbeat: 1.585,
    irregular: -14.112,
    strength: 1.307,
    lowOn: 0.982,
    midOn: 0.818,
    highOn: 0.414,
    lowBar: -0.049,
    harmony: 3.239,
  },
  barWeights: { 4: 0, 3: -0.026, 2: -0.915, 6: -2.058, 5: -0.577, 7: -0.49 },
};

/** The same fitted with what the network hears beside the other facts. */
const WITH_NETWORK: Weights = {
  weights: {
    fast: 0.069,
    slow: -0.382,
    barLength: -0.2,
    onBeat: 0.291,
    half: -0.103,
    third: -0.624,
    quarter: -0.579,
    parity: -0.365,
    pattern: 0.048,
    downbeat: 0.36,
    backbeat: 2.186,
    irregular: -1.617,
    strength: 0.806,
    lowOn: 0.207,
    midOn: 0.282,
    highOn: 0.227,
    lowBar: 0.375,
    harmony: 2.931,
  },
  barWeights: { 4: 0, 3: 0.155, 2: -0.644, 6: -1.362, 5: -0.44, 7: -0.371 },
};
const HEARD: Readonly<Record<keyof HeardFacts, number>> = { on: 0.099, half: -0.081, bar: 0.144, inside: 0.044 };

const OTHER_BARS = -2;

/** Beats beyond these tempi are hardly ever counted (common practice, no source); nats an octave. */
const FASTEST = 200;
const SLOWEST = 54;
const EXTREME = 8;

/** How likely a beat length and bar length are for a whole song, in nats; only differences mean something. */
export function levelScore(facts: LevelFacts, heard: HeardFacts | undefined, beats: number, period: number): number {
  const { weights, barWeights } = heard ? WITH_NETWORK : WITHOUT_NETWORK;
  let score = barWeights[beats] ?? OTHER_BARS;
  const octavesOut = Math.max(0, Math.log2(60 / period / FASTEST), Math.log2((SLOWEST * period) / 60));
  score -= EXTREME * octavesOut;
  for (const key of Object.keys(weights) as (keyof LevelFacts)[]) score += weights[key] * facts[key];
  for (const key of Object.keys(HEARD) as (keyof HeardFacts)[]) score += HEARD[key] * (heard?.[key] ?? 0);
  return score;
}
