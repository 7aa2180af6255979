/**
 * What the page tells the player's processor, and what it answers. Places are seconds of the recording; frames are
 * the audio context's. Array buffers are transferred.
 */
export type PlayerRequest =
  /** Takes the sound over: one or two channels of equal length, at any rate. */
  | { readonly kind: 'load'; readonly sampleRate: number; readonly channels: readonly Float32Array[] }
  /** Fades out, lets the sound go and ends the processor. */
  | { readonly kind: 'unload' }
  /** Ascending places of the clicks, and 1 for each accented one. */
  | { readonly kind: 'clicks'; readonly places: Float64Array; readonly accents: Uint8Array }
  | { readonly kind: 'levels'; readonly recording: number; readonly click: number }
  /** Plays the segments in order; what sounds is faded out first. Answered by `started`, then `ended` or `stopped`. */
  | { readonly kind: 'play'; readonly id: number; readonly segments: readonly Segment[] }
  | { readonly kind: 'stop' }
  /** Answered by `synced` when all earlier requests have been taken in. */
  | { readonly kind: 'sync'; readonly id: number };

/** A stretch of the recording, from <= until. Clicks in [from, until) belong to it. */
export interface Segment {
  readonly from: number;
  readonly until: number;
}

export type PlayerReport =
  /** `frame`: the context's frame that carries the first sample of the first segment. */
  | { kind: 'started'; id: number; frame: number }
  /** The last segment is over; `frame`: the first frame after it. */
  | { kind: 'ended'; id: number; frame: number }
  /** The fade after `stop`, or before another `play`, is over. */
  | { kind: 'stopped'; id: number; frame: number }
  | { kind: 'synced'; id: number; frame: number };

/** Name under which the processor is registered. */
export const PLAYER_PROCESSOR = 'barwright-player';
