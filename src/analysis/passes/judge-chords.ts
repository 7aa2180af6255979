import type { BarSound } from './bar-sounds.js';
import { chordFacts, FACT_NAMES, type ChordFacts } from './chord-facts.js';

/**
 * Weights of a logistic regression on songs with planted differences (training/form_songs.py, fitted by
 * training/fit_passes.py, which prints this): of the logarithms of the chord facts, then of the same by the song's own
 * variation.
 */
export const JUDGE_MODEL = {
  facts: [0, 0, 0, 0, 0, 0],
  relative: [1, 0.3, 0.3, 0.3, 1, 1],
  constant: -6,
  /** Songs' usual median and spread of the logarithms, for songs with few pairs to tell. */
  medians: [-1.9, -1.4, -2, -1.5, -2.7, -2],
  spread: 1.2,
  /** Pairs of a song that count as much as what is usual. */
  usualPairs: 6,
  /** Added to a fact before its logarithm is taken, and to the spread. */
  floor: 0.03,
  leastSpread: 0.3,
};

/** How much the chord facts differ in a song between bars that stand in one column: median and spread of their logarithms. */
export interface SongVariation {
  readonly medians: readonly number[];
  readonly spreads: readonly number[];
}

/** The variation of a song from the facts of its aligned bars; the usual one when there are none. */
export function songVariation(facts: readonly ChordFacts[]): SongVariation {
  const { usualPairs, medians, spread } = JUDGE_MODEL;
  const share = facts.length / (facts.length + usualPairs);
  const own = FACT_NAMES.map((_, i) => facts.map((fact) => logOf(fact[i] as number)).sort((a, b) => a - b));
  const at = (sorted: readonly number[], place: number): number => sorted[Math.floor(place * (sorted.length - 1))] ?? 0;
  return {
    medians: own.map((sorted, i) => share * at(sorted, 0.5) + (1 - share) * (medians[i] as number)),
    spreads: own.map((sorted) => share * (at(sorted, 0.75) - at(sorted, 0.25)) + (1 - share) * spread),
  };
}

/** Probability, 0 to 1, that other chords sound in one of two aligned bars, both in one key; 0 where nothing can be heard. */
export function chordDoubt(a: BarSound, b: BarSound, variation: SongVariation): number {
  const found = chordFacts(a, b);
  if (!found) return 0;
  const { facts, relative, constant, leastSpread } = JUDGE_MODEL;
  let score = constant;
  found.forEach((fact, i) => {
    const log = logOf(fact);
    score += (facts[i] as number) * log;
    score +=
      ((relative[i] as number) * (log - (variation.medians[i] as number))) /
      ((variation.spreads[i] as number) + leastSpread);
  });
  return 1 / (1 + Math.exp(-score));
}

function logOf(fact: number): number {
  return Math.log(Math.max(0, fact) + JUDGE_MODEL.floor);
}
