import { trackMeans, type BeatSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';

/** Values a beat: 12 pitch classes of the chroma from C, then 12 of the bass. */
export const HARMONY_WIDTH = 24;

/** Seconds left out at a beat's start, where the last chord still rings, and at its end. */
const SKIP_START = 0.1;
const SKIP_END = 0.05;
/** On beats shorter than this, in seconds, less is left out in proportion. */
const FULL_BEAT = 0.5;

/** The mean chroma and bass of each beat, [beats x HARMONY_WIDTH], 0 to 1: 1 is the loudest note in every frame; zeros where silent. */
export function beatHarmony(evidence: Evidence, beats: readonly BeatSlot[]): Float32Array {
  const chroma = trackMeans(evidence.tracks.chroma);
  const bass = trackMeans(evidence.tracks.bass);
  const out = new Float32Array(beats.length * HARMONY_WIDTH);
  beats.forEach(({ time, end }, i) => {
    const short = Math.min(1, (end - time) / FULL_BEAT);
    const from = time + SKIP_START * short;
    const to = end - SKIP_END * short;
    chroma.mean(from, to, out, i * HARMONY_WIDTH);
    bass.mean(from, to, out, i * HARMONY_WIDTH + 12);
  });
  for (let k = 0; k < out.length; k++) out[k] = (out[k] as number) / 255;
  return out;
}
