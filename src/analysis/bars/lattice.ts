/**
 * The bars of one stretch as a lattice: nodes are the beats 0 to n-1 and the end n; an arc from i to i + L is a bar of L
 * beats that begins on beat i. Scores are natural logarithms, larger is better; -Infinity forbids.
 */
export interface BarLattice {
  readonly count: number;
  readonly longest: number;
  /** `arcs[i * (longest + 1) + L]`: score of a bar of L beats that begins on beat i. */
  readonly arcs: Float64Array;
  /** `entry[i]`: score of the first bar line lying on beat i, the beats before it being a pickup. */
  readonly entry: Float64Array;
  /** `exit[i]`: score of the last bar ending where beat i begins (i up to n); beats from i on are not used. */
  readonly exit: Float64Array;
}

export interface BarPath {
  /** Beats that begin bars, ascending, followed by the node where the last bar ends. */
  readonly nodes: readonly number[];
  readonly score: number;
}

/** The best sequence of at least one bar (Viterbi over a semi-Markov chain), or undefined when none is allowed. */
export function bestBars(lattice: BarLattice): BarPath | undefined {
  const { count, longest, arcs, entry, exit } = lattice;
  // Best score of a path whose last bar ends at each node, and where that bar begins.
  const best = new Float64Array(count + 1).fill(-Infinity);
  const from = new Int32Array(count + 1).fill(-1);
  for (let i = 0; i < count; i++) {
    const here = Math.max(best[i] as number, entry[i] as number);
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
  let score = -Infinity;
  let node = -1;
  for (let i = 1; i <= count; i++) {
    const value = (best[i] as number) + (exit[i] as number);
    if (value > score) {
      score = value;
      node = i;
    }
  }
  if (node < 0) return undefined;
  const nodes = [node];
  do {
    node = from[node] as number;
    nodes.push(node);
  } while ((best[node] as number) > -Infinity && (best[node] as number) >= (entry[node] ?? -Infinity));
  return { nodes: nodes.reverse(), score };
}

/** Probabilities of every bar under the lattice. */
export interface BarPosteriors {
  /** Same shape as the lattice's arcs: probability that this very bar is there. */
  readonly arcs: Float64Array;
  /** Probability that a bar begins on beat i. */
  readonly starts: Float64Array;
}

/** Forward-backward over the semi-Markov chain (Rabiner, "A tutorial on hidden Markov models", 1989, with durations). */
export function barPosteriors(lattice: BarLattice): BarPosteriors {
  const { count, longest, arcs, entry, exit } = lattice;
  const stride = longest + 1;
  const forward = new Float64Array(count + 1).fill(-Infinity);
  const backward = new Float64Array(count + 1).fill(-Infinity);
  const terms = new Float64Array(longest + 1);
  // Paths that end at each node, counted only where a bar ends there: a path holds at least one bar.
  const ends = new Float64Array(count + 1);
  for (let node = 0; node <= count; node++) {
    terms[0] = -Infinity;
    const most = Math.min(longest, node);
    for (let length = 1; length <= most; length++) {
      terms[length] = (forward[node - length] as number) + (arcs[(node - length) * stride + length] as number);
    }
    ends[node] = logSum(terms, most + 1) + (exit[node] as number);
    terms[0] = node < count ? (entry[node] as number) : -Infinity;
    forward[node] = logSum(terms, most + 1);
  }
  for (let node = count; node >= 0; node--) {
    terms[0] = exit[node] as number;
    const most = Math.min(longest, count - node);
    for (let length = 1; length <= most; length++) {
      terms[length] = (backward[node + length] as number) + (arcs[node * stride + length] as number);
    }
    backward[node] = logSum(terms, most + 1);
  }
  const total = logSum(ends, count + 1);
  const probability = new Float64Array(arcs.length);
  const starts = new Float64Array(count);
  if (total === -Infinity) return { arcs: probability, starts };
  for (let node = 0; node < count; node++) {
    const before = (forward[node] as number) - total;
    if (before === -Infinity) continue;
    let sum = 0;
    for (let length = 1; length <= Math.min(longest, count - node); length++) {
      const at = node * stride + length;
      const p = Math.exp(before + (arcs[at] as number) + (backward[node + length] as number));
      probability[at] = p;
      sum += p;
    }
    starts[node] = Math.min(1, sum);
  }
  return { arcs: probability, starts };
}

function logSum(terms: Float64Array, count: number): number {
  let top = -Infinity;
  for (let i = 0; i < count; i++) if ((terms[i] as number) > top) top = terms[i] as number;
  if (top === -Infinity) return -Infinity;
  let sum = 0;
  for (let i = 0; i < count; i++) sum += Math.exp((terms[i] as number) - top);
  return top + Math.log(sum);
}
