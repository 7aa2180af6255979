import type { KeyLike } from '../music/key.js';

/** What a practice track says of itself. */
export interface TrackTags {
  readonly title: string;
  /** As the recording's own file names them. */
  readonly artist?: string;
  /** Beats a minute as the track is played. */
  readonly bpm?: number;
  /** As the track sounds. */
  readonly key?: KeyLike;
  /** Share of the recording's own speed: 0.75 is three quarters. */
  readonly speed: number;
}
