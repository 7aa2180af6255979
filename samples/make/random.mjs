/** Seeded random numbers (mulberry32, public domain): the same seed plays the same song. */
export function randomFrom(seed) {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  /** Mean 0, deviation 1, never beyond 2.5: a player who slips does not fall off the stage. */
  const normal = () => {
    let value = 3;
    while (Math.abs(value) > 2.5) {
      value = Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
    }
    return value;
  };
  const between = (low, high) => low + (high - low) * uniform();
  const chance = (probability) => uniform() < probability;
  return { uniform, normal, between, chance };
}
