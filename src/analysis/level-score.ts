import type { LevelFacts } from './level-facts.js';

/**
 * Weights of a conditional logistic regression: among all ways to count a song, which is the annotated one. Fitted on
 * rendered and real songs with known beats, ridge penalty, leaving out one song at a time to choose it.
 */
const WEIGHTS: Readonly<Record<keyof LevelFacts, number>> = {
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
};

/** The same for bars of other than four beats. */
const BAR_WEIGHTS: Readonly<Record<number, number>> = { 4: 0, 3: -0.026, 2: -0.915, 6: -2.058, 5: -0.577, 7: -0.49 };
const OTHER_BARS = -2;

/** Beats beyond these tempi are hardly ever counted (common practice, no source); nats an octave. */
const FASTEST = 200;
const SLOWEST = 54;
const EXTREME = 8;

/** How likely a beat length and bar length are for a whole song, in nats; only differences mean something. */
export function levelScore(facts: LevelFacts, beats: number, period: number): number {
  let score = BAR_WEIGHTS[beats] ?? OTHER_BARS;
  const octavesOut = Math.max(0, Math.log2(60 / period / FASTEST), Math.log2((SLOWEST * period) / 60));
  score -= EXTREME * octavesOut;
  for (const key of Object.keys(WEIGHTS) as (keyof LevelFacts)[]) score += WEIGHTS[key] * facts[key];
  return score;
}
