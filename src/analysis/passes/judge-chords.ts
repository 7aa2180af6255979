import type { BarSound } from './bar-sounds.js';
import { chordFacts, FACT_NAMES, type ChordFacts } from './chord-facts.js';

/**
 * Weights of a logistic regression (src/training/fit_passes.py) on 112 made songs with planted differences, 3753 aligned
 * bars of which 119 have another chord: of the logarithms of the chord facts, then of the same measured by the
 * variation of the pass and the song. On songs left out, two bars at a time, 88 % are found at 1.5 % invented.
 */
export const JUDGE_MODEL = {
  facts: [0.28, 0.37, 0.25, 0.41, 0.56, 0.38],
  relative: [0.89, 1.02, 0.72, 1.13, 0.45, 0],
  constant: -2.55,
  /** Added to a fact before its logarithm is taken, and to the spread. */
  floor: 0.05,
  leastSpread: 0.3,
  /** So many bars count as much as what is usual for all songs (for a song) or for the song (for a pass). */
  songBars: 6,
  passBars: 6,
};

/** How far apart bars are that should be the same: medians and spreads (between quartiles) of their facts' logarithms. */
export interface Variation {
  readonly medians: readonly number[];
  readonly spreads: readonly number[];
}

/** Medians of the songs the weights were fitted on, and a spread as wide as in the more various of them. */
const ANY_SONG: Variation = {
  medians: [-2.18, -1.97, -2.12, -1.86, -3, -3],
  spreads: FACT_NAMES.map(() => 1.2),
};

/** The variation of a song from the facts of all its aligned bars. */
export function songVariation(facts: readonly ChordFacts[]): Variation {
  const share = facts.length / (facts.length + JUDGE_MODEL.songBars);
  const mixed = (own: readonly number[], usual: readonly number[]): number[] =>
    own.map((value, i) => share * value + (1 - share) * (usual[i] as number));
  const upper = quantiles(facts, 0.75);
  const spreads = quantiles(facts, 0.25).map((lower, i) => (upper[i] as number) - lower);
  return { medians: mixed(quantiles(facts, 0.5), ANY_SONG.medians), spreads: mixed(spreads, ANY_SONG.spreads) };
}

/** The variation of one pass against the others: a pass that another instrument plays differs a little in every bar. */
export function passVariation(song: Variation, facts: readonly ChordFacts[]): Variation {
  const share = facts.length / (facts.length + JUDGE_MODEL.passBars);
  const own = quantiles(facts, 0.5);
  return { ...song, medians: own.map((value, i) => share * value + (1 - share) * (song.medians[i] as number)) };
}

/** Probability, 0 to 1, that other chords sound in one of two aligned bars, both in one key; 0 where nothing can be heard. */
export function chordDoubt(a: BarSound, b: BarSound, variation: Variation): number {
  const found = chordFacts(a, b);
  if (!found) return 0;
  const { facts, relative, constant, leastSpread } = JUDGE_MODEL;
  let score = constant;
  found.forEach((fact, i) => {
    const log = logOf(fact);
    const apart = (log - (variation.medians[i] as number)) / ((variation.spreads[i] as number) + leastSpread);
    score += (facts[i] as number) * log + (relative[i] as number) * apart;
  });
  return 1 / (1 + Math.exp(-score));
}

function logOf(fact: number): number {
  return Math.log(Math.max(0, fact) + JUDGE_MODEL.floor);
}

function quantiles(facts: readonly ChordFacts[], place: number): number[] {
  return FACT_NAMES.map((_, i) => {
    const sorted = facts.map((fact) => logOf(fact[i] as number)).sort((a, b) => a - b);
    return sorted[Math.round(place * (sorted.length - 1))] ?? 0;
  });
}
