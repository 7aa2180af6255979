import type { Ladder } from '../../model/play-order.js';
import type { CountIn, PlayStretch, PlayWish } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import { tuningOf, type Tuning } from '../../music/tuning.js';
import type { Seconds } from '../../music/units.js';
import type { Sides } from '../../dsp/side-mix.js';
import type { Settings } from '../kit/session.js';

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

export const PLAIN: Practice = { speed: 1, transpose: 0, cents: 0, sides: 'both' };

export const SLOWEST = 0.4;
export const FASTEST = 1.3;

/** A speed within bounds, in whole percents. */
export function boundSpeed(speed: number): number {
  return Math.round(Math.min(FASTEST, Math.max(SLOWEST, speed)) * 100) / 100;
}

/** What the settings say of clicks and counting; `shift`: semitones by which strums sound higher. */
export function wishOf(settings: Settings, shift = 0): Omit<PlayWish, 'speed' | 'countIn'> {
  const { clickParts, clickFirstBarOnly, clickDropOut, spokenCount, strumOn } = settings;
  // Clicks are always planned: whether they are heard is a level, which changes at once.
  return {
    spoken: spokenCount,
    click: { on: true, parts: clickParts, firstBarOnly: clickFirstBarOnly, dropOut: clickDropOut },
    ...(strumOn ? { strum: instrumentOf(settings), strumShift: shift } : {}),
  };
}

/** Semitones by which strummed strings sound higher, so that they are in tune with the recording as it is heard. */
export function strumShift({ transpose, cents }: Practice, { tuning }: Pick<SongMap, 'tuning'>): number {
  return transpose + (cents + tuning) / 100;
}

/** The user's instrument; a ukulele where what was kept is none. */
export function instrumentOf({ instrument }: Settings): Tuning {
  return tuningOf(instrument);
}

export function countInOf({ countInBars, countInBeats }: Settings): CountIn {
  return countInBeats > 0 ? { beats: countInBeats } : { bars: countInBars };
}

/** What is counted into a practice track: as set, else a bar, since nobody can start with a file that just begins. */
export function trackCountIn(settings: Settings): CountIn {
  const set = countInOf(settings);
  return 'bars' in set && set.bars === 0 ? { bars: 1 } : set;
}
