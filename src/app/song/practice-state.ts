import type { CountIn, PlayWish } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import { tuningOf, type Tuning } from '../../music/tuning.js';
import { FASTEST, SLOWEST, type Practice } from '../kit/practice.js';
import type { Settings } from '../kit/session.js';

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
