import type { LevelFacts } from './level-facts.js';

/**
 * Weights of a conditional logistic regression: among all ways to count a song, which is the annotated one. Fitted on
 * rendered and real songs with known beats, ridge penalty, leaving out one song at a time to choose it.
 */
const WEIGHTS: Readonly<Record<keyof LevelFacts, number>> = {
  fast: -0.127,
  slow: -0.755,
  barLength: -0.25,
  onBeat: 1.031,
  half: -0.031,
  third: -1.489,
  quarter: -1.227,
  parity: -0.025,
  pattern: -0.04,
  downbeat: 1.233,
  backbeat: 1.878,
  irregular: -7.84,
  strength: 0.896,
  lowOn: 1.059,
  midOn: 0.757,
  highOn: 0.223,
  lowBar: -0.007,
  harmony: 3.511,
};

/** The same for bars of other than four beats. */
const BAR_WEIGHTS: Readonly<Record<number, number>> = { 4: 0, 3: -0.07, 2: -0.797, 6: -2.101, 5: -0.746, 7: -0.775 };
const OTHER_BARS = -2;

/** How likely a beat length and bar length are for a whole song, in nats; only differences mean something. */
export function levelScore(facts: LevelFacts, beats: number): number {
  let score = BAR_WEIGHTS[beats] ?? OTHER_BARS;
  for (const key of Object.keys(WEIGHTS) as (keyof LevelFacts)[]) score += WEIGHTS[key] * facts[key];
  return score;
}
