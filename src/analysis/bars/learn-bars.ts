import type { BeatFeatures } from '../evidence/features/beat-features.js';
import {
  learnPattern,
  patternGain,
  patternScale,
  scaleBeats,
  type AccentPattern,
  type PatternScale,
} from './accent-pattern.js';
import { barLattice } from './bar-scores.js';
import { downbeatEvidence } from './downbeat-evidence.js';
import { bestBars, type BarPath } from './lattice.js';

/** What was learnt of a song's bars at one metrical level and one bar length. */
export interface BarModel {
  readonly beats: number;
  readonly pattern: AccentPattern;
  readonly scale: PatternScale;
  readonly path: BarPath;
  /** General downbeat evidence of each beat it was learnt from. */
  readonly downbeat: Float32Array;
}

const ROUNDS = 4;

/**
 * Learns the song's accent pattern for bars of `beats` beats: decode, learn the mean bar, decode again (hard EM), from
 * every phase, and keep the best by total score.
 */
export function learnBars(features: BeatFeatures, beats: number): BarModel {
  const downbeat = downbeatEvidence(features);
  const scale = patternScale(features);
  const scaled = scaleBeats(features, scale);
  let best: BarModel | undefined;
  for (let phase = 0; phase < beats; phase++) {
    let nodes: readonly number[] = regularNodes(features.count, beats, phase);
    let pattern = learnPattern(scaled, nodes, beats);
    let path: BarPath | undefined;
    for (let round = 0; round < ROUNDS; round++) {
      path = bestBars(
        barLattice({
          count: features.count,
          heard: features.count,
          downbeat,
          gain: patternGain(scaled, pattern),
          beats,
        }),
      );
      if (!path) break;
      if (sameNodes(path.nodes, nodes)) break;
      nodes = path.nodes;
      pattern = learnPattern(scaled, nodes, beats);
    }
    if (path && (!best || path.score > best.path.score)) best = { beats, pattern, scale, path, downbeat };
  }
  if (!best) throw new RangeError(`learnBars: found ${features.count} beats; at least one is needed`);
  return best;
}

function regularNodes(count: number, beats: number, phase: number): number[] {
  const nodes: number[] = [];
  for (let i = phase; i < count; i += beats) nodes.push(i);
  if (nodes[nodes.length - 1] !== count) nodes.push(count);
  return nodes;
}

function sameNodes(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((node, i) => node === b[i]);
}
