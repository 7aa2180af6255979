import type { LevelFacts } from './level-facts.js';

/**
 * Weights of a conditional logistic regression: among all ways to count a song, which is the annotated one. Fitted on
 * rendered and real songs with known beats, ridge penalty, leaving out one song at a time to choose it.
 */
const WEIGHTS: Readonly<Record<keyof LevelFacts, number>> = {
  fast: 0.251,
  slow: -0.952,
  barLength: -0.294,
  onBeat: 0.668,
  half: 0.035,
  third: -0.88,
  quarter: -1.006,
  parity: -0.204,
  pattern: 0.315,
  downbeat: 1.056,
  backbeat: 1.712,
  irregular: -8.573,
  strength: 1.925,
  lowOn: 0.875,
  midOn: 0.585,
  highOn: 0.3,
  lowBar: -0.453,
  harmony: 3.791,
};

/** The same for bars of other than four beats. */
const BAR_WEIGHTS: Readonly<Record<number, number>> = { 4: 0, 3: 0.375, 2: -0.611, 6: -1.29, 5: -0.154, 7: -0.076 };
const OTHER_BARS = -2;

/** How likely a beat length and bar length are for a whole song, in nats; only differences mean something. */
export function levelScore(facts: LevelFacts, beats: number): number {
  let score = BAR_WEIGHTS[beats] ?? OTHER_BARS;
  for (const key of Object.keys(WEIGHTS) as (keyof LevelFacts)[]) score += WEIGHTS[key] * facts[key];
  return score;
}
