import type { ClipBackground, ClipShape } from '../../export/clip/clip-marks.js';
import type { CountIn, PlayStretch } from '../../model/play-plan.js';
import type { ClipFormat, TrackJob } from './ports.js';

/** The practice tracks that are asked for. */
export interface TracksWish {
  /** One track each: 0.7 is 70 % of the recording's speed. */
  readonly speeds: readonly number[];
  readonly countIn: CountIn;
  readonly click: boolean;
  readonly strum: boolean;
  /** Chords are spoken before they begin. */
  readonly announce: boolean;
  readonly format: TrackJob['format'];
  /** Each bar is marked in the file, not only each section. */
  readonly barCues?: boolean;
  /** What is played, in order; the whole song without. */
  readonly stretches?: readonly PlayStretch[];
  /** What is added to the name: the arrangement's, or the loop's bars. */
  readonly called?: string;
}

/** The clip that is asked for. */
export interface ClipWish {
  readonly shape: ClipShape;
  readonly background: ClipBackground;
  readonly format: ClipFormat;
  readonly sound: boolean;
  /** As it is practised: the speed that is set, counted in, with the click. Else in step with the recording itself. */
  readonly practice: boolean;
}
