import type { BarModel } from '../bars/learn-bars.js';
import type { Evidence } from '../evidence/evidence.js';
import { beatMeans, type BeatFeatures } from '../evidence/features/beat-features.js';

/**
 * What the harmonic rhythm says of one way to count: logarithms of ratios between mean changes of chord and bass, 0 where
 * nothing changes. The names are those of the weights in level-score.ts.
 */
export interface HarmonyFacts {
  /** On the beats against half-way between. */
  readonly changeOn: number;
  /** In bars of four: on beat 3 against beats 2 and 4. */
  readonly fourInTwo: number;
}

/** Keeps a ratio of two small changes from saying much. */
const FLOOR = 0.02;

/** `changeOn` comes from changeOnBeats, as it is the same for all bar lengths. */
export function harmonyFacts(changeOn: number, features: BeatFeatures, { beats, path }: BarModel): HarmonyFacts {
  return { changeOn, fourInTwo: beats === 4 ? fourInTwo(features, path.nodes) : 0 };
}

function fourInTwo({ chordChange, bassChange }: BeatFeatures, nodes: readonly number[]): number {
  let [third, others, bars] = [0, 0, 0];
  const change = (beat: number): number => (chordChange[beat] as number) + (bassChange[beat] as number);
  nodes.slice(0, -1).forEach((from, b) => {
    if ((nodes[b + 1] as number) - from !== 4) return;
    bars++;
    third += change(from + 2);
    others += (change(from + 1) + change(from + 3)) / 2;
  });
  return logRatio(third / Math.max(1, bars), others / Math.max(1, bars));
}

function logRatio(a: number, b: number): number {
  return Math.log((a + FLOOR) / (b + FLOOR));
}

/** Change of chroma and bass on the beats against half-way between, each from the half beat before to the one after. */
export function changeOnBeats(evidence: Evidence, times: readonly number[], period: number): number {
  const halves = times.flatMap((time, i) => [time, (time + (times[i + 1] ?? time + period)) / 2]);
  const after = (times[times.length - 1] ?? 0) + period;
  let [on, between] = [0, 0];
  for (const name of ['chroma', 'bass'] as const) {
    const track = evidence.tracks[name];
    const rows = beatMeans(track, halves, after);
    for (let i = 1; i < halves.length; i++) {
      const change = rowChange(rows, track.width, i - 1, i);
      if (i % 2 === 0) on += change;
      else between += change;
    }
  }
  const count = Math.max(1, times.length);
  return logRatio(on / count, between / count);
}

/** One minus the cosine between two rows; 0 where one is silent. */
function rowChange(rows: Float32Array, width: number, one: number, other: number): number {
  let [dot, a2, b2] = [0, 0, 0];
  for (let k = 0; k < width; k++) {
    const a = rows[one * width + k] as number;
    const b = rows[other * width + k] as number;
    dot += a * b;
    a2 += a * a;
    b2 += b * b;
  }
  return a2 > 0 && b2 > 0 ? 1 - dot / Math.sqrt(a2 * b2) : 0;
}
