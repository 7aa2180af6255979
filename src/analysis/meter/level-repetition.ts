import { nearestPlace } from '../../model/map-index.js';
import { patternGain, scaleBeats } from '../bars/accent-pattern.js';
import { barLattice } from '../bars/bar-scores.js';
import { barPosteriors } from '../bars/lattice.js';
import { findRepetition, type Repetition } from '../bars/repetition.js';
import { repetitionVotes } from '../bars/repetition-votes.js';
import type { Evidence } from '../evidence/evidence.js';
import { beatProfiles } from '../evidence/features/beat-profiles.js';
import type { Level } from '../rhythm-base.js';

/** What repeats in a song counted at one level, and what that says of each of the level's beats (see repetitionVotes). */
export interface LevelRepetition {
  readonly repetition: Repetition;
  readonly votes: Float32Array;
}

const known = new WeakMap<Level, LevelRepetition>();

/** Depends on the evidence alone, so it is found once a level. */
export function levelRepetition(evidence: Evidence, level: Level): LevelRepetition {
  const before = known.get(level);
  if (before) return before;
  const { times, period, bars, features } = level;
  const repetition = findRepetition(beatProfiles(evidence, times, (times[times.length - 1] as number) + period));
  const gain = patternGain(scaleBeats(features, bars.scale), bars.pattern);
  const { downbeat, beats } = bars;
  const alone = barLattice({ count: times.length, heard: times.length, downbeat, gain, beats });
  const made = { repetition, votes: repetitionVotes(repetition, barPosteriors(alone).starts) };
  known.set(level, made);
  return made;
}

/** How far, as a share of a beat, a beat of the map may lie from the level's and still be it. */
const SAME_BEAT = 0.25;

/** The level's beat at `time`, or -1 where it has none. */
export function levelBeatAt({ times, period }: Level, time: number): number {
  const at = nearestPlace(times, time);
  return Math.abs((times[at] as number) - time) < SAME_BEAT * period ? at : -1;
}
