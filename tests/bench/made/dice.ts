/** Seeded random choices: the same seed gives the same song on every machine. */
export interface Dice {
  /** 0 to 1. */
  next(): number;
  /** A whole number from `low` to `high`, both included. */
  int(low: number, high: number): number;
  /** A number from `low` to `high`. */
  real(low: number, high: number): number;
  /** True with this probability. */
  chance(probability: number): boolean;
  pick<T>(list: readonly T[]): T;
  /** One of the values, each as often as its weight says. */
  weighted<T>(pairs: readonly (readonly [T, number])[]): T;
  /** Normally distributed around 0. */
  gauss(deviation: number): number;
}

/** Mulberry32 (public domain, Tommy Ettinger 2017; from memory). */
export function dice(seed: number): Dice {
  let state = (seed * 2654435761 + 1013904223) >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const pick = <T>(list: readonly T[]): T => {
    if (list.length === 0) throw new RangeError('dice: nothing to pick from');
    return list[Math.floor(next() * list.length)] as T;
  };
  return {
    next,
    int: (low, high) => low + Math.floor(next() * (high - low + 1)),
    real: (low, high) => low + next() * (high - low),
    chance: (probability) => next() < probability,
    pick,
    weighted: (pairs) => {
      let left = next() * pairs.reduce((sum, [, weight]) => sum + weight, 0);
      for (const [value, weight] of pairs) {
        left -= weight;
        if (left < 0) return value;
      }
      return pick(pairs)[0];
    },
    gauss: (deviation) => deviation * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}
