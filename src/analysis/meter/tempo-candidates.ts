import type { Pulse } from '../beats/pulse.js';

/** Shortest and longest beat the tracker considers, in seconds: 240 and 40 beats a minute. */
export const SHORTEST_BEAT = 0.25;
export const LONGEST_BEAT = 1.5;

/** A beat length that the recording repeats at, in seconds, and how strongly (mean autocorrelation, at most 1). */
export interface TempoCandidate {
  readonly period: number;
  readonly strength: number;
}

const WINDOW = 10;
const STEP = 5;
const MOST = 8;

/**
 * Beat lengths at which the pulse repeats itself, strongest first: peaks of the autocorrelation over 10 s windows, each
 * lag supported by its first three multiples, averaged over the song.
 */
export function tempoCandidates(pulse: Pulse): TempoCandidate[] {
  const { rate } = pulse;
  const longest = Math.ceil(LONGEST_BEAT * rate);
  const lags = 4 * longest + 2;
  const mean = new Float64Array(lags + 1);
  let windows = 0;
  const size = WINDOW * rate;
  for (let from = pulse.first; from + size / 2 < pulse.last; from += STEP * rate) {
    const part = pulse.worth.subarray(from, Math.min(pulse.last, from + size));
    let power = 1e-9;
    for (let i = 0; i < part.length; i++) power += (part[i] as number) ** 2;
    for (let lag = 1; lag <= lags && lag < part.length; lag++) {
      let sum = 0;
      for (let i = lag; i < part.length; i++) sum += (part[i] as number) * (part[i - lag] as number);
      mean[lag] = (mean[lag] as number) + (sum / power) * (part.length / (part.length - lag));
    }
    windows++;
  }
  if (windows === 0) return [{ period: 0.5, strength: 0 }];
  const at = (lag: number): number => {
    const low = Math.floor(lag);
    const a = mean[low] ?? 0;
    const b = mean[Math.min(lags, low + 1)] ?? 0;
    return (a + (b - a) * (lag - low)) / windows;
  };
  const grid: { period: number; strength: number }[] = [];
  for (let p = SHORTEST_BEAT * rate * 0.97; p <= longest; p *= 1.01) {
    let strength = 0;
    for (let k = 1; k <= 4; k++) {
      let best = -1;
      for (let d = -0.02; d <= 0.0201; d += 0.01) best = Math.max(best, at(p * k * (1 + d)));
      strength += best / 4;
    }
    grid.push({ period: p / rate, strength });
  }
  const peaks = grid.filter(
    (g, i) =>
      g.strength > 0 && g.strength >= (grid[i - 1]?.strength ?? -1) && g.strength > (grid[i + 1]?.strength ?? -1),
  );
  peaks.sort((a, b) => b.strength - a.strength);
  const chosen: TempoCandidate[] = [];
  for (const peak of peaks) {
    if (chosen.length < MOST && chosen.every((c) => Math.abs(Math.log(c.period / peak.period)) > 0.12))
      chosen.push(peak);
  }
  return chosen.length > 0 ? chosen : [{ period: 0.5, strength: 0 }];
}
