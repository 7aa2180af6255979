import { MEL_BANDS, MEL_RATE, type LogMel } from '../../../dsp/log-mel.js';
import type { HeardName, Track } from '../evidence.js';

/** The rhythm network in its two parts, as its loader gives it. */
export interface RhythmNet {
  /**
   * Hears each frame with FRONT_REACH frames on either side of it: `mel` is [frames, MEL_BANDS] of logMel; resolves to
   * [features, frames].
   */
  front(mel: Float32Array, frames: number): Promise<Float32Array>;
  /**
   * Hears the whole song in its features, [features, frames]; resolves to [frames, 3], the probabilities of a beat, a
   * downbeat and a section's start in each frame.
   */
  song(features: Float32Array, frames: number): Promise<Float32Array>;
}

/** Frame-wise probabilities, 0 to 1, MEL_RATE frames a second. */
export interface Activations {
  readonly rate: number;
  readonly beat: Float32Array;
  readonly downbeat: Float32Array;
  readonly section: Float32Array;
}

/** Frames before and after a frame that the first part hears with it: three convolutions over three frames. */
const FRONT_REACH = 3;
/** Frames of a piece: what is between the layers takes some 10 kB a frame. */
const PIECE = 1024;

/**
 * What the network hears in a recording. Runs in about 1/200 of the recording's duration. `report` is told the share done, 0
 * to 1, and may throw to stop.
 */
export async function hearRhythm(
  mel: LogMel,
  net: RhythmNet,
  report: (done: number) => void = () => undefined,
): Promise<Activations> {
  const out = await net.song(await featuresOf(mel, net, (done) => report(FRONT_SHARE * done)), mel.frames);
  const channel = (k: number): Float32Array => Float32Array.from({ length: mel.frames }, (_, i) => out[3 * i + k] ?? 0);
  return { rate: MEL_RATE, beat: channel(0), downbeat: channel(1), section: channel(2) };
}

/** Share of the network's work that its first part is. */
const FRONT_SHARE = 0.7;

/**
 * The features of all frames, heard in pieces: of ten minutes at once the layers would take 400 MB, which WebAssembly never
 * gives back. A piece begins and ends FRONT_REACH frames beyond what is taken of it, so the result is the same.
 */
async function featuresOf(mel: LogMel, net: RhythmNet, report: (done: number) => void): Promise<Float32Array> {
  const { frames, data } = mel;
  let features = new Float32Array(0);
  for (let from = 0; from < frames; from += PIECE) {
    report(from / frames);
    const to = Math.min(frames, from + PIECE);
    const first = Math.max(0, from - FRONT_REACH);
    const count = Math.min(frames, to + FRONT_REACH) - first;
    const heard = await net.front(data.subarray(first * MEL_BANDS, (first + count) * MEL_BANDS), count);
    const width = heard.length / count;
    if (from === 0) features = new Float32Array(width * frames);
    for (let k = 0; k < width; k++) {
      const row = k * count - first;
      features.set(heard.subarray(row + from, row + to), k * frames + from);
    }
  }
  report(1);
  return features;
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
