import type { Sides } from '../../dsp/side-mix.js';
import type { Ladder } from '../../model/play-order.js';
import type { PlayStretch } from '../../model/play-plan.js';
import type { Seconds } from '../../music/units.js';

/** How the open song is practised; begins anew with each song. */
export interface Practice {
  /** 0.4 to 1.3: 0.5 is half as fast. */
  readonly speed: number;
  /** Whole semitones, and cents beside them, by which the recording is moved. */
  readonly transpose: number;
  readonly cents: number;
  readonly sides: Sides;
  /** The stretch that is played again and again; bar lines, so that it follows the bars when they are corrected. */
  readonly loop?: Loop;
  /** Id of the arrangement that is played; the song as it is without. */
  readonly arrangement?: string;
}

export interface Loop {
  readonly from: Seconds;
  readonly until: Seconds;
  /** Played in turn with it: another pass of the same section, say. */
  readonly other?: PlayStretch;
  /** Becomes faster (or slower) from round to round. */
  readonly ladder?: Ladder;
}

/** The recording as it is. */
export const PLAIN: Practice = { speed: 1, transpose: 0, cents: 0, sides: 'both' };

/** Bounds of Practice.speed. */
export const SLOWEST = 0.4;
export const FASTEST = 1.3;
