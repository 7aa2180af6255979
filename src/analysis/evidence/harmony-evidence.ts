import { foldBass, foldChroma, noteSalience, noteScratch } from '../../dsp/chroma.js';
import type { Cents } from '../../music/units.js';
import { TIMBRE_SIZE, type Track } from './evidence.js';
import { HARMONY_RATE, type HarmonySpectra } from './harmony-spectra.js';

/** Frames whose notes are this far below those of the song's loud frames (about 30 dB) hold no harmony: all zero. */
const SILENCE = 0.03;

export interface HarmonyTracks {
  readonly chroma: Track;
  readonly bass: Track;
  readonly timbre: Track;
}

/**
 * The chroma, bass and timbre tracks of a recording whose tuning lies `tuning` cents above A440. `report` is told the
 * share done, 0 to 1, and may throw to stop.
 */
export function harmonyTracks(
  { peaks, timbre }: HarmonySpectra,
  tuning: Cents,
  report: (done: number) => void = () => undefined,
): HarmonyTracks {
  const count = peaks.frames;
  const scratch = noteScratch();
  const chroma = new Float32Array(count * 12);
  const bass = new Float32Array(count * 12);
  const strength = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    if (i % 64 === 0) report(i / count);
    const notes = noteSalience(peaks, i, tuning, scratch);
    strength[i] = scratch.strength;
    foldChroma(notes, chroma.subarray(i * 12, i * 12 + 12));
    foldBass(notes, bass.subarray(i * 12, i * 12 + 12));
  }
  report(1);
  const loud = Float32Array.from(strength).sort()[Math.floor(count * 0.9)] ?? 0;
  const silent = (frame: number): boolean => (strength[frame] ?? 0) <= loud * SILENCE + 1e-6;
  return {
    chroma: { rate: HARMONY_RATE, width: 12, data: scaleFrames(chroma, silent) },
    bass: { rate: HARMONY_RATE, width: 12, data: scaleFrames(bass, silent) },
    timbre: { rate: HARMONY_RATE, width: TIMBRE_SIZE, data: standardise(timbre, silent) },
  };
}

function scaleFrames(values: Float32Array, silent: (frame: number) => boolean): Uint8Array {
  const data = new Uint8Array(values.length);
  for (let frame = 0; frame * 12 < values.length; frame++) {
    if (silent(frame)) continue;
    let largest = 0;
    for (let k = 0; k < 12; k++) largest = Math.max(largest, values[frame * 12 + k] ?? 0);
    if (largest <= 0) continue;
    for (let k = 0; k < 12; k++) data[frame * 12 + k] = Math.round((255 * (values[frame * 12 + k] ?? 0)) / largest);
  }
  return data;
}

/** 128 is the song's mean of a coefficient, 32 steps its standard deviation; silent frames do not count, and stay in range. */
function standardise(values: Float32Array, silent: (frame: number) => boolean): Uint8Array {
  const count = values.length / TIMBRE_SIZE;
  const data = new Uint8Array(values.length);
  for (let c = 0; c < TIMBRE_SIZE; c++) {
    let n = 0;
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < count; i++) {
      if (silent(i)) continue;
      const v = values[i * TIMBRE_SIZE + c] ?? 0;
      n += 1;
      sum += v;
      squares += v * v;
    }
    const mean = n > 0 ? sum / n : 0;
    const deviation = Math.sqrt(Math.max(1e-9, n > 0 ? squares / n - mean * mean : 0));
    for (let i = 0; i < count; i++) {
      const z = ((values[i * TIMBRE_SIZE + c] ?? 0) - mean) / deviation;
      data[i * TIMBRE_SIZE + c] = Math.max(0, Math.min(255, Math.round(128 + 32 * z)));
    }
  }
  return data;
}
