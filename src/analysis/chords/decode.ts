export interface Decoded {
  /** The most probable state of each beat. */
  readonly path: Int32Array;
  /** Posterior probability of that state's family, 0 to 1. */
  readonly posterior: Float64Array;
}

/**
 * Viterbi path and its posteriors (forward-backward) for a chain in which staying is free and a change to state s on
 * beat i costs changeCosts[i] - priors[s]. Scores are log-likelihoods, [beats x states]; the first beat is a change.
 * `families[s]` numbers what counts as the same answer. Linear in beats and states, because where a change comes from
 * does not matter.
 */
export function decode(
  scores: Float64Array,
  changeCosts: Float64Array,
  priors: Float64Array,
  families: Int32Array,
): Decoded {
  const beats = changeCosts.length;
  const size = priors.length;
  if (scores.length !== beats * size) {
    throw new RangeError(
      `decode: found ${scores.length} scores; ${beats} beats of ${size} states need ${beats * size}`,
    );
  }
  const path = viterbi(scores, changeCosts, priors, beats, size);
  return { path, posterior: posteriors(scores, changeCosts, priors, families, path) };
}

function viterbi(
  scores: Float64Array,
  changeCosts: Float64Array,
  priors: Float64Array,
  beats: number,
  size: number,
): Int32Array {
  const best = new Float64Array(size);
  const changedFrom = new Int32Array(beats);
  const changed = new Uint8Array(beats * size);
  for (let s = 0; s < size; s++) best[s] = (priors[s] as number) + (scores[s] as number);
  for (let i = 1; i < beats; i++) {
    let top = 0;
    for (let s = 1; s < size; s++) if ((best[s] as number) > (best[top] as number)) top = s;
    changedFrom[i] = top;
    const entering = (best[top] as number) - (changeCosts[i] as number);
    for (let s = 0; s < size; s++) {
      const enter = entering + (priors[s] as number);
      const enters = enter > (best[s] as number);
      if (enters) changed[i * size + s] = 1;
      best[s] = (enters ? enter : (best[s] as number)) + (scores[i * size + s] as number);
    }
  }
  const path = new Int32Array(beats);
  let state = 0;
  for (let s = 1; s < size; s++) if ((best[s] as number) > (best[state] as number)) state = s;
  for (let i = beats - 1; i >= 0; i--) {
    path[i] = state;
    if (i > 0 && changed[i * size + state] === 1) state = changedFrom[i] as number;
  }
  return path;
}

/** Weights are scaled to a sum of 1 on each beat, so that long songs do not underflow. */
function posteriors(
  scores: Float64Array,
  changeCosts: Float64Array,
  priors: Float64Array,
  families: Int32Array,
  path: Int32Array,
): Float64Array {
  const beats = changeCosts.length;
  const size = priors.length;
  const enter = priors.map((p) => Math.exp(p));
  const changing = changeCosts.map((cost) => Math.exp(-cost));
  const likely = likelihoods(scores, beats, size);
  const forward = new Float64Array(beats * size);
  for (let i = 0; i < beats; i++) {
    const change = i === 0 ? 1 : (changing[i] as number);
    let sum = 0;
    for (let s = 0; s < size; s++) {
      const stay = i === 0 ? 0 : (forward[(i - 1) * size + s] as number);
      const value = (stay + change * (enter[s] as number)) * (likely[i * size + s] as number);
      forward[i * size + s] = value;
      sum += value;
    }
    for (let s = 0; s < size; s++) forward[i * size + s] = (forward[i * size + s] as number) / sum;
  }
  const out = new Float64Array(beats);
  const backward = new Float64Array(size).fill(1);
  for (let i = beats - 1; i >= 0; i--) {
    const family = families[path[i] as number];
    let sum = 0;
    let same = 0;
    let entered = 0;
    for (let s = 0; s < size; s++) {
      const both = (forward[i * size + s] as number) * (backward[s] as number);
      sum += both;
      if (families[s] === family) same += both;
      backward[s] = (backward[s] as number) * (likely[i * size + s] as number);
      entered += (enter[s] as number) * (backward[s] as number);
    }
    out[i] = sum > 0 ? same / sum : 0;
    let scale = 0;
    for (let s = 0; s < size; s++) {
      backward[s] = (backward[s] as number) + (changing[i] as number) * entered;
      scale += backward[s] as number;
    }
    for (let s = 0; s < size; s++) backward[s] = (backward[s] as number) / scale;
  }
  return out;
}

/** exp(scores), the largest of each beat 1. */
function likelihoods(scores: Float64Array, beats: number, size: number): Float64Array {
  const out = new Float64Array(beats * size);
  for (let i = 0; i < beats; i++) {
    let top = -Infinity;
    for (let s = 0; s < size; s++) top = Math.max(top, scores[i * size + s] as number);
    for (let s = 0; s < size; s++) out[i * size + s] = Math.exp((scores[i * size + s] as number) - top);
  }
  return out;
}
