import type { GoldenEdit } from './edits.js';

/** A recording of the corpus: what it is, how its sound is made, and what is done to its map. */
export interface GoldenRecording {
  readonly id: string;
  /** What there is to hear. */
  readonly about: string;
  readonly from: Source;
  /** Lists of edits; each begins with the first map. */
  readonly edits: readonly (readonly GoldenEdit[])[];
}

export type Source =
  /** A bundled song. */
  | { readonly by: 'sample'; readonly file: string }
  | MadeSource
  /** Composed and played by src/training (songs.py or form_songs.py). */
  | { readonly by: 'training'; readonly generator: 'songs' | 'form'; readonly seed: number; readonly seconds?: number }
  /** A sound of make/bands.ts. */
  | { readonly by: 'band'; readonly band: 'drift' | 'free' | 'silence' | 'clicks' | 'short' }
  /** The evidence of another recording of the corpus, again and again up to so many seconds: nothing is kept of it. */
  | { readonly by: 'repeat'; readonly of: string; readonly seconds: number };

/** Composed and played by tests/bench/made. */
export interface MadeSource {
  readonly by: 'made';
  readonly seed: number;
  readonly plant?: 'length' | 'chord' | 'bar' | 'key';
  readonly maxBars?: number;
  /** Which of the five cuts of tests/bench/cuts is made, from 0. */
  readonly cut?: number;
  /** The sound begins just before this beat, from 0. */
  readonly fromBeat?: number;
  /** Seed of tests/bench/made/damage.ts. */
  readonly damage?: number;
}
