/** Decoded sound: one Float32Array a channel (1 or 2 of them, equal length), nominally -1 to 1, `sampleRate` in Hz. */
export interface Pcm {
  readonly sampleRate: number;
  readonly channels: readonly Float32Array[];
}
