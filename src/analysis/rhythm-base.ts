import { snapToAttacks } from './beats/attack.js';
import { pulseOf, type Pulse } from './beats/pulse.js';
import { tempoCandidates } from './beats/tempo-candidates.js';
import { periodCurve, trackTempo } from './beats/tempo-tracker.js';
import { learnBars, type BarModel } from './bars/learn-bars.js';
import type { Evidence } from './evidence.js';
import { beatFeatures, type BeatFeatures } from './features/beat-features.js';
import { levelScore } from './level-score.js';

/** One way to count the song: its beats, its bar length, and how well that explains the recording. */
export interface Level {
  /** Median beat length in seconds. */
  readonly period: number;
  /** Beat length at every frame of the pulse, in frames. */
  readonly curve: Float32Array;
  readonly times: readonly number[];
  readonly features: BeatFeatures;
  readonly bars: BarModel;
  /** The larger, the likelier, in nats. */
  readonly score: number;
}

/** Everything that depends on the evidence alone. */
export interface RhythmBase {
  readonly pulse: Pulse;
  /** Likeliest first; never empty. */
  readonly levels: readonly Level[];
}

const known = new WeakMap<Evidence, RhythmBase>();

/** Analyses the evidence once; later calls with the same object return the same answer at once. */
export function rhythmBase(evidence: Evidence): RhythmBase {
  const before = known.get(evidence);
  if (before) return before;
  const pulse = pulseOf(evidence);
  const levels: Level[] = [];
  for (const { period, strength } of tempoCandidates(pulse)) {
    const path = trackTempo(pulse, period * pulse.rate);
    addLevels(levels, evidence, pulse, path.frames, strength);
    if (period < 0.5) {
      for (const phase of [0, 1])
        addLevels(
          levels,
          evidence,
          pulse,
          path.frames.filter((_, i) => i % 2 === phase),
          strength,
        );
    }
  }
  levels.sort((a, b) => b.score - a.score);
  const base = { pulse, levels };
  known.set(evidence, base);
  return base;
}

/** Bar lengths, in beats, that a whole song may have. */
const SONG_BARS = [4, 3, 2, 6, 5, 7] as const;

function addLevels(levels: Level[], evidence: Evidence, pulse: Pulse, frames: Int32Array, strength: number): void {
  if (frames.length < 2) return;
  const curve = periodCurve(frames, pulse.frames, (frames[1] as number) - (frames[0] as number));
  const found = Array.from(frames, (frame) => ({ time: frame / pulse.rate, exact: false }));
  const times = snapToAttacks(found, evidence.tracks.beat).map((beat) => beat.time);
  const last = times[times.length - 1] as number;
  const period = (last - (times[0] as number)) / (times.length - 1);
  const features = beatFeatures(evidence, times, Math.min(evidence.duration, last + period));
  for (const beats of SONG_BARS) {
    if (times.length < 2 * beats && beats !== 4) continue;
    const bars = learnBars(features, beats);
    const score = levelScore(pulse, times, period, features, bars, strength);
    levels.push({ period, curve, times, features, bars, score });
  }
}
