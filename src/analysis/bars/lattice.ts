/**
 * The bars of one stretch as a lattice: nodes are the beats 0 to n and the end n; an arc from i to i + L is a bar of L
 * beats that begins on beat i. Scores are natural logarithms, larger is better; -Infinity forbids.
 */
export interface BarLattice {
  readonly count: number;
  readonly longest: number;
  /** `arcs[i * (longest + 1) + L]`: score of a bar of L beats that begins on beat i. */
  readonly arcs: Float64Array;
  /** `entry[i]`: score of the first bar line lying on beat i, the beats before it being a pickup. */
  readonly entry: Float64Array;
}

export interface BarPath {
  /** Beats that begin bars, ascending, followed by n. */
  readonly nodes: readonly number[];
  readonly score: number;
}

/** The best sequence of bars (Viterbi over a semi-Markov chain), or undefined when none is allowed. */
export function bestBars(lattice: BarLattice): BarPath | undefined {
  const { count, longest, arcs, entry } = lattice;
  const best = new Float64Array(count + 1).fill(-Infinity);
  const from = new Int32Array(count + 1).fill(-1);
  for (let i = 0; i < count; i++) best[i] = entry[i] as number;
  for (let i = 0; i < count; i++) {
    const here = best[i] as number;
    if (here === -Infinity) continue;
    const most = Math.min(longest, count - i);
    for (let length = 1; length <= most; length++) {
      const value = here + (arcs[i * (longest + 1) + length] as number);
      if (value > (best[i + length] as number)) {
        best[i + length] = value;
        from[i + length] = i;
      }
    }
  }
  const score = best[count] as number;
  if (score === -Infinity) return undefined;
  const nodes: number[] = [count];
  for (let node = from[count] as number; node >= 0; node = from[node] as number) nodes.push(node);
  return { nodes: nodes.reverse(), score };
}

/** Probabilities of every bar under the lattice. */
export interface BarPosteriors {
  /** Same shape as the lattice's arcs: probability that this very bar is there. */
  readonly arcs: Float64Array;
  /** Probability that a bar begins on beat i. */
  readonly starts: Float64Array;
}

/** Forward-backward over the semi-Markov chain (Rabiner 1989, with explicit durations). */
export function barPosteriors(lattice: BarLattice): BarPosteriors {
  const { count, longest, arcs, entry } = lattice;
  const stride = longest + 1;
  const forward = new Float64Array(count + 1).fill(-Infinity);
  const backward = new Float64Array(count + 1).fill(-Infinity);
  for (let node = 0; node <= count; node++) {
    let top = node < count ? (entry[node] as number) : -Infinity;
    const terms: number[] = [top];
    for (let length = 1; length <= Math.min(longest, node); length++) {
      const value = (forward[node - length] as number) + (arcs[(node - length) * stride + length] as number);
      terms.push(value);
      if (value > top) top = value;
    }
    forward[node] = logSum(terms, top);
  }
  backward[count] = 0;
  for (let node = count - 1; node >= 0; node--) {
    let top = -Infinity;
    const terms: number[] = [];
    for (let length = 1; length <= Math.min(longest, count - node); length++) {
      const value = (backward[node + length] as number) + (arcs[node * stride + length] as number);
      terms.push(value);
      if (value > top) top = value;
    }
    backward[node] = logSum(terms, top);
  }
  const total = forward[count] as number;
  const probability = new Float64Array(arcs.length);
  const starts = new Float64Array(count);
  for (let node = 0; node < count; node++) {
    const before = (forward[node] as number) - total;
    if (before === -Infinity) continue;
    starts[node] = Math.exp(before + (backward[node] as number));
    for (let length = 1; length <= Math.min(longest, count - node); length++) {
      const at = node * stride + length;
      probability[at] = Math.exp(before + (arcs[at] as number) + (backward[node + length] as number));
    }
  }
  return { arcs: probability, starts };
}

function logSum(terms: readonly number[], top: number): number {
  if (top === -Infinity) return -Infinity;
  let sum = 0;
  for (const term of terms) sum += Math.exp(term - top);
  return top + Math.log(sum);
}
