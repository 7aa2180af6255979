import { learnBars, type BarModel } from './bars/learn-bars.js';
import { snapToAttacks } from './beats/attack.js';
import { pulseOf, type Pulse } from './beats/pulse.js';
import { tempoCandidates, type TempoCandidate } from './meter/tempo-candidates.js';
import { periodCurve, trackTempo } from './beats/tempo-tracker.js';
import type { Evidence } from './evidence/evidence.js';
import { beatFeatures, type BeatFeatures } from './evidence/features/beat-features.js';
import { heardFacts, levelFacts, type LevelFacts } from './meter/level-facts.js';
import { changeOnBeats, harmonyFacts, type HarmonyFacts } from './meter/level-harmony.js';
import { levelScore } from './meter/level-score.js';

/** One way to count the song: its beats, its bar length, and how well that explains the recording. */
export interface Level {
  /** Mean beat length in seconds. */
  readonly period: number;
  /** Beat length at every frame of the pulse, in frames. */
  readonly curve: Float32Array;
  readonly times: readonly number[];
  readonly features: BeatFeatures;
  readonly bars: BarModel;
  readonly facts: LevelFacts;
  readonly harmony: HarmonyFacts;
  /** The larger, the likelier, in nats. */
  readonly score: number;
}

/** Everything that depends on the evidence alone. */
export interface RhythmBase {
  readonly pulse: Pulse;
  /** Likeliest first; never empty. */
  readonly levels: readonly Level[];
  /** Levels that only locks asked for, by the beat length they asked for: what was asked before decides nothing. */
  readonly asked: Map<number, readonly Level[]>;
  /** The beats of other levels in bars of another length. */
  readonly recounted: Level[];
}

const known = new WeakMap<Evidence, RhythmBase>();

/** Bar lengths, in beats, that a whole song may have. */
const SONG_BARS = [4, 3, 2, 6, 5, 7] as const;
/** Most beat lengths taken from the network alone. */
const MORE = 3;

/** Analyses the evidence once; later calls with the same object return the same answer at once. */
export function rhythmBase(evidence: Evidence): RhythmBase {
  const before = known.get(evidence);
  if (before) return before;
  const pulse = pulseOf(evidence);
  const levels: Level[] = [];
  for (const { period, strength } of candidates(pulse)) {
    const { frames } = trackTempo(pulse, period * pulse.rate);
    const ways = [frames, betweenBeats(frames)];
    if (period < 0.5)
      ways.push(
        frames.filter((_, i) => i % 2 === 0),
        frames.filter((_, i) => i % 2 === 1),
      );
    for (const way of ways) levels.push(...levelsOf(evidence, pulse, way, strength, SONG_BARS));
  }
  levels.sort((a, b) => b.score - a.score);
  const base = { pulse, levels, asked: new Map(), recounted: [] };
  known.set(evidence, base);
  return base;
}

/** Beat lengths from attacks and network together, and those that only the network repeats at. */
function candidates(pulse: Pulse): TempoCandidate[] {
  const found = tempoCandidates(pulse);
  if (!pulse.heard) return found;
  const alone = tempoCandidates({ ...pulse, worth: pulse.heard });
  const isNew = ({ period }: TempoCandidate): boolean =>
    found.every((other) => Math.abs(Math.log(other.period / period)) > 0.06);
  return [...found, ...alone.filter(isNew).slice(0, MORE)];
}

/** The off-beats half-way between: what is heard as the beat when every off-beat is struck. */
function betweenBeats(frames: Int32Array): Int32Array {
  if (frames.length < 3) return frames;
  return frames.subarray(1).map((frame, i) => Math.round((frame + (frames[i] as number)) / 2));
}

function levelsOf(
  evidence: Evidence,
  pulse: Pulse,
  frames: Int32Array,
  strength: number,
  barLengths: readonly number[],
): Level[] {
  const first = frames[0] ?? pulse.first;
  const curve = periodCurve(frames, pulse.frames, frames.length > 1 ? (frames[1] as number) - first : 0.5 * pulse.rate);
  const found = Array.from(frames.length > 0 ? frames : [first], (frame) => ({
    time: frame / pulse.rate,
    exact: false,
  }));
  const times = snapToAttacks(found, evidence.tracks.beat).map((beat) => beat.time);
  const last = times[times.length - 1] as number;
  const period = times.length > 1 ? (last - (times[0] as number)) / (times.length - 1) : 0.5;
  const features = beatFeatures(evidence, times, Math.min(evidence.duration, last + period));
  const changeOn = changeOnBeats(evidence, times, period);
  return barLengths.map((beats) => {
    const bars = learnBars(features, beats);
    const facts = levelFacts(pulse, times, period, features, bars, strength);
    const heard = heardFacts(evidence, times, period, features, bars);
    const harmony = harmonyFacts(changeOn, features, bars);
    const score = levelScore(facts, harmony, heard, beats, period);
    return { period, curve, times, features, bars, facts, harmony, score };
  });
}

/** Ratio within which a beat length is the one asked for, and what each hundredth beyond it counts against a level, in nats. */
const NEAR = 1.19;
const OFF = 0.3;
/** Simple ratios between metrical levels: so many beats in the place of so many. */
const RATIOS = [
  [2, 1],
  [1, 2],
  [3, 1],
  [1, 3],
  [4, 1],
  [1, 4],
  [3, 2],
  [2, 3],
] as const;

/** The likeliest level whose beats last about `period` seconds, with bars of `beats` beats where that is given. */
export function levelNear(evidence: Evidence, period: number, beats: number | undefined): Level {
  const { pulse, levels, asked } = rhythmBase(evidence);
  const off = (level: Level): number => Math.abs(Math.log(level.period / period));
  const worth = (level: Level): number => level.score - OFF * 100 * off(level);
  const best = (some: readonly Level[]): Level | undefined =>
    some.filter((level) => off(level) < Math.log(NEAR)).sort((a, b) => worth(b) - worth(a))[0];
  let found = best(levels);
  if (!found) {
    let own = asked.get(period);
    if (!own) {
      const made = relatedFrames(levels[0] as Level, pulse, period);
      const ways = made.length > 0 ? made : [trackTempo(pulse, period * pulse.rate).frames];
      own = ways.flatMap((way) => levelsOf(evidence, pulse, way, 0, SONG_BARS));
      asked.set(period, own);
    }
    found = best(own) ?? (own[own.length - 1] as Level);
  }
  return beats === undefined ? found : levelWithBeats(evidence, found, beats);
}

/** The level's beats divided or thinned out to last about `period`, one way a phase; none where no simple ratio does. */
function relatedFrames(level: Level, pulse: Pulse, period: number): Int32Array[] {
  const ratio = RATIOS.find(([more, fewer]) => Math.abs(Math.log((level.period * fewer) / more / period)) < 0.12);
  if (!ratio) return [];
  const [more, fewer] = ratio;
  const divided: number[] = [];
  level.times.forEach((time, i) => {
    const next = level.times[i + 1] ?? time + level.period;
    for (let k = 0; k < more; k++) divided.push(Math.round((time + ((next - time) * k) / more) * pulse.rate));
  });
  return Array.from({ length: fewer }, (_, phase) =>
    Int32Array.from(divided.filter((_frame, i) => i % fewer === phase)),
  );
}

/** The same beats as `level` in bars of `beats` beats. */
export function levelWithBeats(evidence: Evidence, level: Level, beats: number): Level {
  if (level.bars.beats === beats) return level;
  const { pulse, levels, asked, recounted } = rhythmBase(evidence);
  const same = (other: Level): boolean => other.times === level.times && other.bars.beats === beats;
  const found = levels.find(same) ?? [...asked.values()].flat().find(same) ?? recounted.find(same);
  if (found) return found;
  const bars = learnBars(level.features, beats);
  const facts = levelFacts(pulse, level.times, level.period, level.features, bars, level.facts.strength);
  const heard = heardFacts(evidence, level.times, level.period, level.features, bars);
  const harmony = harmonyFacts(level.harmony.changeOn, level.features, bars);
  const made = { ...level, bars, facts, harmony, score: levelScore(facts, harmony, heard, beats, level.period) };
  recounted.push(made);
  return made;
}
