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
  const gains = barGains(trusted(evidence.gain, beats, trust), count, beats);
  const costs = Float64Array.from({ length: stride }, (_, length) => lengthCost(length, beats));
  for (let i = 0; i < count; i++) {
    const start = DOWNBEAT_WEIGHT * (downbeat[i] as number) * (trust ? (trust[i] as number) : 1);
    const canFinish = i + beats <= count;
    const extra = steadiness ? (steadiness[i] as number) : 0;
    for (let length = 1; length <= Math.min(longest, count - i); length++) {
      const fits = start + PATTERN_WEIGHT * (gains.bars[i * stride + length] as number);
      const unfinished = i + length === heard && length < beats && !canFinish;
      const cost = unfinished ? UNFINISHED : (costs[length] as number);
      arcs[i * stride + length] = fits - cost - (length !== beats && !unfinished ? extra : 0);
    }
    if (i < beats) entry[i] = i === 0 ? 0 : PATTERN_WEIGHT * (gains.pickups[i] as number) - PICKUP_COST;
  }
  for (let i = Math.max(1, heard); i <= count; i++) exit[i] = 0;
  return { count, longest, arcs, entry, exit };
}

function trusted(gain: Float32Array, beats: number, trust: Float32Array | undefined): Float32Array {
  if (!trust) return gain;
  const out = gain.slice();
  for (let at = 0; at < out.length; at++) out[at] = (out[at] as number) * (trust[Math.floor(at / beats)] as number);
  return out;
}

/**
 * How well the pattern explains bars (`bars[i * (LONGEST_BAR + 1) + length]`) and pickups (`pickups[i]`, i beats long). A bar
 * longer than usual goes on like its beginning or like its end, whichever fits better. All 0 where no pattern is learnt.
 */
function barGains(
  gain: Float32Array,
  count: number,
  beats: number,
): { readonly bars: Float64Array; readonly pickups: Float64Array } {
  const stride = LONGEST_BAR + 1;
  const bars = new Float64Array(count * stride);
  const pickups = new Float64Array(beats);
  if (gain.length === 0) return { bars, pickups };
  const sums = placeSums(gain, count, beats);
  const wide = beats + 1;
  for (let i = 0; i < count; i++) {
    for (let length = 1; length <= Math.min(LONGEST_BAR, count - i); length++) {
      let whole = 0;
      let at = 0;
      for (; length - at > beats; at += beats) whole += sums[(i + at + beats) * wide + beats] as number;
      const rest = length - at;
      const row = (i + at + beats) * wide;
      const begins = sums[row + rest] as number;
      if (at === 0) {
        bars[i * stride + length] = begins;
        continue;
      }
      const end = row - (beats - rest) * wide;
      const ends = (sums[end + beats] as number) - (sums[end + beats - rest] as number);
      bars[i * stride + length] = whole + (ends > begins ? ends : begins);
    }
  }
  for (let i = 1; i < beats; i++) {
    const row = i * wide;
    pickups[i] = (sums[row + beats] as number) - (sums[row + beats - i] as number);
  }
  return { bars, pickups };
}

/** `[(i + beats) * (beats + 1) + k]`: gain of beats i, i+1, ... being the places 0 to k-1 of a bar; rows from -beats on. */
function placeSums(gain: Float32Array, count: number, beats: number): Float64Array {
  const rows = count + beats;
  const wide = beats + 1;
  const sums = new Float64Array(rows * wide);
  for (let row = 0; row < rows; row++) {
    for (let k = 0; k < beats; k++) {
      const beat = row - beats + k;
      const here = beat >= 0 && beat < count ? (gain[beat * beats + k] as number) : 0;
      sums[row * wide + k + 1] = (sums[row * wide + k] as number) + here;
    }
  }
  return sums;
}
