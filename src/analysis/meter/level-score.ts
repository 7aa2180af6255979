import { isTernary, type HeardFacts, type LevelFacts } from './level-facts.js';
import type { HarmonyFacts } from './level-harmony.js';

/** Thirds of a beat tell how beats are divided, not which level is the beat. */
type WeighedFact = Exclude<keyof LevelFacts, 'firstThird'>;

interface Weights {
  readonly weights: Readonly<Record<WeighedFact, number>>;
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

/**
 * The same with what the network hears and with the harmonic rhythm beside the other facts; fitted on 91 made songs, none of
 * them of the development bench (src/training/README.md).
 */
const WITH_NETWORK: Weights = {
  weights: {
    fast: 0.046,
    slow: 0.161,
    barLength: -0.101,
    onBeat: 0.315,
    half: -0.119,
    third: -0.189,
    quarter: -0.557,
    parity: -0.257,
    pattern: 0.048,
    downbeat: 0.32,
    backbeat: 1.06,
    irregular: -2.591,
    strength: 0.85,
    lowOn: 0.186,
    midOn: 0.331,
    highOn: 0.404,
    lowBar: 0.018,
    harmony: 2.115,
  },
  barWeights: { 4: 0, 3: 0.836, 2: -0.159, 6: -1.195, 5: -0.253, 7: -0.33 },
};
const HEARD: Readonly<Record<keyof HeardFacts, number>> = {
  on: 0.122,
  half: -0.07,
  third: -0.126,
  bar: 0.184,
  inside: -0.051,
};

const HARMONY: Readonly<Record<keyof HarmonyFacts, number>> = { changeOn: 0.315, fourInTwo: -0.77 };

const OTHER_BARS = -2;

/**
 * Triple, compound and odd time is rarer in songs at large than among those made for the fit, of which it is more than half
 * (common practice, no source): nats.
 */
const UNCOMMON = -1;

/** Beats beyond these tempi are hardly ever counted (common practice, no source); nats an octave. */
const FASTEST = 200;
const SLOWEST = 54;
const EXTREME = 8;

/** How likely a beat length and bar length are for a whole song, in nats; only differences mean something. */
export function levelScore(
  facts: LevelFacts,
  harmony: HarmonyFacts,
  heard: HeardFacts | undefined,
  beats: number,
  period: number,
): number {
  const { weights, barWeights } = heard ? WITH_NETWORK : WITHOUT_NETWORK;
  let score = barWeights[beats] ?? OTHER_BARS;
  const octavesOut = Math.max(0, Math.log2(60 / period / FASTEST), Math.log2((SLOWEST * period) / 60));
  score -= EXTREME * octavesOut;
  for (const key of Object.keys(weights) as WeighedFact[]) score += weights[key] * facts[key];
  if (!heard) return score;
  if ((beats !== 4 && beats !== 2) || isTernary(facts, beats)) score += UNCOMMON;
  for (const key of Object.keys(HEARD) as (keyof HeardFacts)[]) score += HEARD[key] * heard[key];
  for (const key of Object.keys(HARMONY) as (keyof HarmonyFacts)[]) score += HARMONY[key] * harmony[key];
  return score;
}
