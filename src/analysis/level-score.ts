import type { BarModel } from './bars/learn-bars.js';
import type { Pulse } from './beats/pulse.js';
import type { BeatFeatures } from './features/beat-features.js';

/** How likely a beat length and bar length are for a whole song, in nats. */
export function levelScore(
  pulse: Pulse,
  times: readonly number[],
  period: number,
  features: BeatFeatures,
  bars: BarModel,
  strength: number,
): number {
  const f = levelFacts(pulse, times, period, features, bars, strength);
  const meterPrior = { 4: 0, 3: -1, 2: -2, 6: -2, 5: -4, 7: -4 }[bars.beats] ?? -5;
  return -0.5 * f.tempo * f.tempo + 3 * f.onBeat - 1.5 * f.offBeat + meterPrior + 0.5 * f.barScore;
}

export interface LevelFacts {
  /** Octaves from 112 beats a minute, divided by 0.5. */
  readonly tempo: number;
  /** Mean worth of the pulse on the beats, and half-way between. */
  readonly onBeat: number;
  readonly offBeat: number;
  /** Score of the bars, per bar. */
  readonly barScore: number;
  readonly strength: number;
}

export function levelFacts(
  pulse: Pulse,
  times: readonly number[],
  period: number,
  features: BeatFeatures,
  bars: BarModel,
  strength: number,
): LevelFacts {
  let on = 0;
  let off = 0;
  for (let i = 0; i < times.length; i++) {
    const time = times[i] as number;
    const next = times[i + 1] ?? time + period;
    on += worthAt(pulse, time);
    off += worthAt(pulse, (time + next) / 2);
  }
  return {
    tempo: Math.log2(60 / period / 112) / 0.5,
    onBeat: on / times.length,
    offBeat: off / times.length,
    barScore: bars.path.score / Math.max(1, features.count / bars.beats),
    strength,
  };
}

function worthAt(pulse: Pulse, time: number): number {
  const at = Math.round(time * pulse.rate);
  return Math.max(pulse.worth[at - 1] ?? 0, pulse.worth[at] ?? 0, pulse.worth[at + 1] ?? 0);
}
