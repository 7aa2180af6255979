import type { Cents, Seconds } from '../../music/units.js';
import type { Key } from '../../model/song-map.js';

/**
 * What the solvers know of a recording: compact frame-wise tracks, from band-wise onsets and a network. Kept with the project, so that solving never needs the sound again.
 */
export interface Evidence {
  /** Version of what made it. */
  readonly version: string;
  readonly duration: Seconds;
  readonly tuning: Cents;
  readonly key?: Key;
  readonly tracks: Readonly<Record<TrackName, Track>> & Readonly<Partial<Record<HeardName, Track>>>;
}

/**
 * beat, downbeat: activation, 0 to 255 for probability 0 to 1, width 1.
 * onset: onset strength in ONSET_BANDS bands, low to high, scaled so that 255 is the song's 99.9th percentile.
 * level: loudness, 0 to 255 for -90 to 0 dBFS.
 * chroma: 12 pitch classes from C, tuning corrected, 255 is the frame's largest; bass: the same below about 250 Hz.
 * timbre: TIMBRE_SIZE cepstral coefficients, 128 is zero.
 */
export type TrackName = 'beat' | 'downbeat' | 'onset' | 'level' | 'chroma' | 'bass' | 'timbre';

/**
 * What the rhythm network hears: probability of a beat, of beat 1 and of a section's start, 0 to 255 for 0 to 1, width 1.
 * Missing in evidence that was made before there was one; solving does without.
 */
export type HeardName = 'heardBeat' | 'heardDownbeat' | 'heardSection';

export const ONSET_BANDS = 5;
export const TIMBRE_SIZE = 12;

/** Frame i is centred on i / rate seconds; `data[i * width + k]` is its k-th value. */
export interface Track {
  readonly rate: number;
  readonly width: number;
  readonly data: Uint8Array;
}

export function frameCount(track: Track): number {
  return Math.floor(track.data.length / track.width);
}
