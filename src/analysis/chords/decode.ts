export interface Decoded {
  /** The most probable state of each beat. */
  readonly path: Int32Array;
  /** Posterior probability of that state, 0 to 1. */
  readonly posterior: Float64Array;
}

/**
 * Viterbi path and its posteriors (forward-backward) for a chain in which staying is free and a change to state s on
 * beat i costs changeCosts[i] - priors[s]. Scores are log-likelihoods, [beats x states]; the first beat is a change.
 * Linear in beats and states, because where a change comes from does not matter.
 */
export function decode(scores: Float64Array, changeCosts: Float64Array, priors: Float64Array): Decoded {
  const beats = changeCosts.length;
  const size = priors.length;
  if (scores.length !== beats * size) {
    throw new RangeError(
      `decode: found ${scores.length} scores; ${beats} beats of ${size} states need ${beats * size}`,
    );
  }
  const path = viterbi(scores, changeCosts, priors, beats, size);
  return { path, posterior: posteriors(scores, changeCosts, priors, beats, size, path) };
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

/** Probabilities are scaled to a sum of 1 on each beat, so that long songs do not underflow. */
function posteriors(
  scores: Float64Array,
  changeCosts: Float64Array,
  priors: Float64Array,
  beats: number,
  size: number,
  path: Int32Array,
): Float64Array {
  const enter = priors.map((p) => Math.exp(p));
  const total = enter.reduce((a, b) => a + b, 0);
  const likely = new Float64Array(beats * size);
  for (let i = 0; i < beats; i++) {
    let top = -Infinity;
    for (let s = 0; s < size; s++) top = Math.max(top, scores[i * size + s] as number);
    for (let s = 0; s < size; s++) likely[i * size + s] = Math.exp((scores[i * size + s] as number) - top);
  }
  const changing = changeCosts.map((cost) => 1 / (1 + Math.exp(cost)));
  const forward = new Float64Array(beats * size);
  for (let i = 0; i < beats; i++) {
    const change = i === 0 ? 1 : (changing[i] as number);
    let sum = 0;
    for (let s = 0; s < size; s++) {
      const stay = i === 0 ? 0 : (1 - change) * (forward[(i - 1) * size + s] as number);
      const value = (stay + (change * (enter[s] as number)) / total) * (likely[i * size + s] as number);
      forward[i * size + s] = value;
      sum += value;
    }
    for (let s = 0; s < size; s++) forward[i * size + s] = (forward[i * size + s] as number) / sum;
  }
  const out = new Float64Array(beats);
  let backward = new Float64Array(size).fill(1);
  for (let i = beats - 1; i >= 0; i--) {
    let sum = 0;
    for (let s = 0; s < size; s++) sum += (forward[i * size + s] as number) * (backward[s] as number);
    const state = path[i] as number;
    out[i] = ((forward[i * size + state] as number) * (backward[state] as number)) / sum;
    if (i === 0) break;
    const change = changing[i] as number;
    let entered = 0;
    for (let s = 0; s < size; s++) {
      entered += ((enter[s] as number) / total) * (likely[i * size + s] as number) * (backward[s] as number);
    }
    const before = new Float64Array(size);
    let scale = 0;
    for (let s = 0; s < size; s++) {
      const value = (1 - change) * (likely[i * size + s] as number) * (backward[s] as number) + change * entered;
      before[s] = value;
      scale += value;
    }
    backward = before.map((v) => v / scale);
  }
  return out;
}
