import type { LevelFacts } from './level-facts.js';

/** How likely a beat length and bar length are for a whole song, in nats. */
export function levelScore(f: LevelFacts, beats: number): number {
  const meterPrior = { 4: 0, 3: -1, 2: -2, 6: -2, 5: -4, 7: -4 }[beats] ?? -5;
  return -2 * (f.fast + f.slow) + 3 * f.onBeat - 1.5 * f.half + meterPrior + 0.5 * f.downbeat * beats;
}
