import { MEL_BANDS, MEL_RATE, type LogMel } from '../../dsp/log-mel.js';
import type { HeardName, Track } from '../evidence.js';

/**
 * The rhythm network as its loader gives it: `mel` is [frames, bands] of logMel; resolves to [frames, 3], the
 * probabilities of a beat, a downbeat and a section's start in each frame.
 */
export interface RhythmNet {
  run(mel: Float32Array, frames: number, bands: number): Promise<Float32Array>;
}

/** Frame-wise probabilities, 0 to 1, MEL_RATE frames a second. */
export interface Activations {
  readonly rate: number;
  readonly beat: Float32Array;
  readonly downbeat: Float32Array;
  readonly section: Float32Array;
}

/** What the network hears in a recording. Runs in about 1/200 of the recording's duration. */
export async function hearRhythm(mel: LogMel, net: RhythmNet): Promise<Activations> {
  const out = await net.run(mel.data, mel.frames, MEL_BANDS);
  const channel = (k: number): Float32Array => Float32Array.from({ length: mel.frames }, (_, i) => out[3 * i + k] ?? 0);
  return { rate: MEL_RATE, beat: channel(0), downbeat: channel(1), section: channel(2) };
}

/** What the network hears, as tracks of the evidence. */
export function heardTracks(heard: Activations): Readonly<Record<HeardName, Track>> {
  const track = (column: Float32Array): Track => ({
    rate: heard.rate,
    width: 1,
    data: Uint8Array.from(column, (p) => Math.round(255 * Math.max(0, Math.min(1, p)))),
  });
  return { heardBeat: track(heard.beat), heardDownbeat: track(heard.downbeat), heardSection: track(heard.section) };
}
