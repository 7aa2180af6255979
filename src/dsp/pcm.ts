import type { Seconds } from '../music/units.js';

/** Decoded sound: one Float32Array a channel (1 or 2 of them, equal length), nominally -1 to 1, `sampleRate` in Hz. */
export interface Pcm {
  readonly sampleRate: number;
  readonly channels: readonly Float32Array[];
}

export function pcmDuration(pcm: Pcm): Seconds {
  return (pcm.channels[0]?.length ?? 0) / pcm.sampleRate;
}
