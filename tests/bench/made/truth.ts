import type { KnownSong } from '../measures/judge.js';
import type { Planted } from './forms.js';

type Labelled = readonly [from: number, to: number, label: string];

/** What is known of a made song; times in seconds. Equal section labels are passes of one section. */
export interface MadeTruth extends KnownSong {
  readonly id: string;
  readonly set: string;
  readonly seed: number;
  readonly duration: number;
  readonly tempo: number;
  readonly irregular_bars: number;
  /** "Eb:major". */
  readonly key: string;
  /** Harte syntax. */
  readonly chords: readonly Labelled[];
  readonly sections: readonly Labelled[];
  /** For each section: its label, and the semitones by which it lies above the song's key. */
  readonly passes: readonly { readonly label: string; readonly shift: number }[];
  /** Passes that are hard to hear: noise over them, chords soft and bass missing, drums and tune loud. */
  readonly unclear: readonly { readonly section: number; readonly how: 'noise' | 'thin' | 'busy' }[];
  /** The one planted difference, and when its bar begins. */
  readonly planted?: Planted & { readonly time: number };
}
