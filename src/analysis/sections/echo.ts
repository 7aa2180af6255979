export const ECHO_MODEL = {
  /** Divides what sections are worth before it is taken as log odds. */
  heat: 0.3,
  /** Bars that go on, or have ended, alike for a place to be the same, and how alike on average they have to be. */
  wing: 8,
  alike: 0.32,
  /** Probability of a beginning that says nothing, and the weight of saying nothing. */
  usual: 0.16,
  unheard: 0.3,
};

/** A section that may be: its first bar, and what it is worth. */
export interface Possible {
  readonly start: number;
  readonly worth: number;
}

/**
 * Probability that a section begins at each bar, [size]: sums over all ways to divide the song, forward and backward (Rabiner
 * 1989, "A tutorial on hidden Markov models", III.B, for segments). `endings` are the sections that may end before each bar and,
 * last, before the end, [size + 1].
 */
export function beginnings(endings: readonly (readonly Possible[])[]): Float64Array {
  const size = endings.length - 1;
  const forward = new Float64Array(size + 1).fill(-Infinity);
  const backward = new Float64Array(size + 1).fill(-Infinity);
  forward[0] = 0;
  backward[size] = 0;
  for (let end = 1; end <= size; end++) {
    for (const { start, worth } of endings[end] ?? []) {
      const value = (forward[start] as number) + worth / ECHO_MODEL.heat;
      forward[end] = sumOfLogs(forward[end] as number, value);
    }
  }
  for (let end = size; end > 0; end--) {
    for (const { start, worth } of endings[end] ?? []) {
      const value = (backward[end] as number) + worth / ECHO_MODEL.heat;
      backward[start] = sumOfLogs(backward[start] as number, value);
    }
  }
  const whole = forward[size] as number;
  return forward.subarray(0, size).map((before, bar) => Math.exp(before + (backward[bar] as number) - whole));
}

function sumOfLogs(a: number, b: number): number {
  const most = Math.max(a, b);
  return most === -Infinity ? most : most + Math.log1p(Math.exp(Math.min(a, b) - most));
}

/**
 * How much sections begin where the same music is elsewhere, about -0.2 to 0.8, [size]: the mean of `likely` over the bars from
 * which on, or up to which, as many bars are alike as from or up to this one.
 */
export function echoes(same: Float32Array, size: number, likely: Float64Array): Float32Array {
  const { wing, alike, usual, unheard } = ECHO_MODEL;
  const runs = runMeans(same, size, wing);
  const out = new Float32Array(size);
  for (let bar = 1; bar < size; bar++) {
    let sum = 0;
    let weights = unheard;
    for (let other = 1; other < size; other++) {
      if (Math.abs(other - bar) < 2) continue;
      const on = runs[bar * size + other] as number;
      const upTo = bar >= wing && other >= wing ? (runs[(bar - wing) * size + other - wing] as number) : 0;
      const weight = Math.max(0, Math.max(on, upTo) - alike);
      sum += weight * ((likely[other] as number) - usual);
      weights += weight;
    }
    out[bar] = sum / weights;
  }
  return out;
}

/** Mean likeness of the `wing` bars from each bar on to those from each other, row by row; 0 where one runs over the end. */
function runMeans(same: Float32Array, size: number, wing: number): Float32Array {
  const out = new Float32Array(size * size);
  for (let apart = 0; apart < size; apart++) {
    let sum = 0;
    for (let bar = 0; bar + apart < size; bar++) {
      sum += same[bar * size + bar + apart] as number;
      if (bar >= wing) sum -= same[(bar - wing) * size + bar - wing + apart] as number;
      const from = bar - wing + 1;
      if (from < 0) continue;
      out[from * size + from + apart] = sum / wing;
      out[(from + apart) * size + from] = sum / wing;
    }
  }
  return out;
}
