import type { Repetition } from './repetition.js';

/** Share of beats that begin bars where nothing is known, and the weight of that beside a sure repeat's. */
const USUAL = 0.25;
const USUAL_WEIGHT = 1;

/**
 * What the beats at the same places of similar stretches say of each beat, in nats for (positive) or against it being
 * beat 1: log odds of their mean probability `starts`, less those of any beat.
 */
export function repetitionVotes({ offsets, others, weights }: Repetition, starts: Float64Array): Float32Array {
  const neutral = Math.log(USUAL / (1 - USUAL));
  const votes = new Float32Array(starts.length);
  for (let i = 0; i < votes.length; i++) {
    let sum = USUAL * USUAL_WEIGHT;
    let all = USUAL_WEIGHT;
    for (let at = offsets[i] as number; at < (offsets[i + 1] as number); at++) {
      const weight = weights[at] as number;
      sum += weight * (starts[others[at] as number] as number);
      all += weight;
    }
    const p = Math.min(1 - 1e-6, sum / all);
    votes[i] = Math.log(p / (1 - p)) - neutral;
  }
  return votes;
}
