import { PICKUP_COST, lengthCost } from './bar-prior.js';
import type { BarLattice } from './lattice.js';

/** Longest bar, in beats, that the lattice offers of itself. */
export const LONGEST_BAR = 12;

/** Weight of the song's own accent pattern, whose numbers are far from independent. */
const PATTERN_WEIGHT = 0.12;
/** Weight of the general downbeat evidence. */
const DOWNBEAT_WEIGHT = 0.7;
/** What an unfinished last bar costs where the music ends. */
const UNFINISHED = 0.5;

export interface BarEvidence {
  /** Number of beats, those added after the last heard one included. */
  readonly count: number;
  /** Number of beats heard; bars may end at any beat from here on. */
  readonly heard: number;
  readonly downbeat: Float32Array;
  /** Per beat and place in the bar, see patternGain; empty before a pattern is learnt. */
  readonly gain: Float32Array;
  /** Beats in the prevailing bar. */
  readonly beats: number;
  /** How far the evidence at each beat is believed, 0 to 1; all 1 when absent. */
  readonly trust?: Float32Array;
  /** Extra cost of a bar of another length beginning on each beat; none when absent. */
  readonly steadiness?: Float32Array;
}

/** The lattice of all bars from the evidence. */
export function barLattice(evidence: BarEvidence): BarLattice {
  const { count, heard, beats, downbeat, trust, steadiness } = evidence;
  const longest = LONGEST_BAR;
  const stride = longest + 1;
  const arcs = new Float64Array(count * stride).fill(-Infinity);
  const entry = new Float64Array(count).fill(-Infinity);
  const exit = new Float64Array(count + 1).fill(-Infinity);
  const patterns = patternRuns(trusted(evidence.gain, beats, trust), count, beats);
  for (let i = 0; i < count; i++) {
    const start = DOWNBEAT_WEIGHT * (downbeat[i] as number) * (trust ? (trust[i] as number) : 1);
    const canFinish = i + beats <= count;
    for (let length = 1; length <= Math.min(longest, count - i); length++) {
      const fits = start + PATTERN_WEIGHT * barGain(patterns, i, length, beats);
      const unfinished = i + length === heard && length < beats && !canFinish;
      const cost = unfinished ? UNFINISHED : lengthCost(length, beats);
      const extra = steadiness && length !== beats && !unfinished ? (steadiness[i] as number) : 0;
      arcs[i * stride + length] = fits - cost - extra;
    }
    if (i < beats) entry[i] = i === 0 ? 0 : PATTERN_WEIGHT * patterns(0, beats - i, beats) - PICKUP_COST;
  }
  for (let i = Math.max(1, heard); i <= count; i++) exit[i] = 0;
  return { count, longest, arcs, entry, exit };
}

function trusted(gain: Float32Array, beats: number, trust: Float32Array | undefined): Float32Array {
  return trust ? gain.map((value, at) => value * (trust[Math.floor(at / beats)] as number)) : gain;
}

/** Gain of beats i, i+1, ... being the places `from` to `to - 1` of the bar. */
type PatternRuns = (i: number, from: number, to: number) => number;

/** A bar longer than usual goes on like its beginning or like its end, whichever fits better. */
function barGain(patterns: PatternRuns, i: number, length: number, beats: number): number {
  if (length <= beats) return patterns(i, 0, length);
  let gain = patterns(i, 0, beats);
  let at = beats;
  for (; length - at > beats; at += beats) gain += patterns(i + at, 0, beats);
  const rest = length - at;
  return gain + Math.max(patterns(i + at, 0, rest), patterns(i + at, beats - rest, beats));
}

function patternRuns(gain: Float32Array, count: number, beats: number): PatternRuns {
  if (gain.length === 0) return () => 0;
  // sums[i * (beats + 1) + k]: gain of beats i, i+1, ... being the places 0 to k-1; rows from -beats on.
  const rows = count + beats;
  const sums = new Float64Array(rows * (beats + 1));
  for (let row = 0; row < rows; row++) {
    for (let k = 0; k < beats; k++) {
      const beat = row - beats + k;
      const here = beat >= 0 && beat < count ? (gain[beat * beats + k] as number) : 0;
      sums[row * (beats + 1) + k + 1] = (sums[row * (beats + 1) + k] as number) + here;
    }
  }
  return (i, from, to) => {
    const row = (i - from + beats) * (beats + 1);
    return (sums[row + to] as number) - (sums[row + from] as number);
  };
}
