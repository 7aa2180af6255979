import { meanAndDeviation } from '../../dsp/series.js';
import { ACCENTS, type BeatFeatures } from '../features/beat-features.js';

/**
 * How much each beat looks like a beat 1 whatever the song: changes of chord and bass, low attacks, the downbeat
 * track; each against its own spread in the song. Mean about 0.
 */
export function downbeatEvidence(features: BeatFeatures): Float32Array {
  const out = new Float32Array(features.count);
  const low = new Float32Array(features.count);
  for (let i = 0; i < features.count; i++) low[i] = features.accents[i * ACCENTS] as number;
  const parts: readonly [Float32Array, number][] = [
    [features.chordChange, 0.5],
    [features.bassChange, 0.5],
    [features.downbeat, 0.4],
    [low, 0.3],
  ];
  for (const [values, weight] of parts) {
    const { mean, deviation } = meanAndDeviation(values);
    if (deviation < 1e-4) continue;
    for (let i = 0; i < out.length; i++) {
      out[i] = (out[i] as number) + weight * Math.max(-2, Math.min(3, ((values[i] as number) - mean) / deviation));
    }
  }
  return out;
}
