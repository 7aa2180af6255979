import type { SideMix } from '../src/dsp/side-mix.js';
import type { PackedSound } from '../src/dsp/packed-sound.js';
import type { PlaybackReport, Programme } from '../src/dsp/playback.js';

/** What the page asks of the player's processor. Times are seconds of the timeline; array buffers are transferred. */
export type PlayerRequest =
  /** Takes the sound over, at any rate. */
  | { readonly kind: 'load'; readonly sound: PackedSound }
  /** Fades out, lets the sound go and ends the processor. */
  | { readonly kind: 'unload' }
  /** Sounds for programmes to name by index, from `first` on. */
  | { readonly kind: 'sounds'; readonly first: number; readonly sounds: readonly Float32Array[] }
  /** A gain for each of BUSES. */
  | { readonly kind: 'levels'; readonly levels: readonly number[] }
  | { readonly kind: 'tone'; readonly transpose: number; readonly mix: SideMix }
  /** Plays from the beginning of the programme; what sounds is faded out first. Answered by `started`, then `ended` or `stopped`. */
  | { readonly kind: 'play'; readonly id: number; readonly programme: Programme }
  /** From second `at` of the timeline on the programme holds. */
  | { readonly kind: 'replace'; readonly id: number; readonly at: number; readonly programme: Programme }
  | { readonly kind: 'stop' }
  /** Answered by `synced` when all earlier requests have been taken in. */
  | { readonly kind: 'sync'; readonly id: number };

/** `frame` counts the context's frames: where the timeline begins, or the first one after the end. */
export type PlayerReport =
  | Readonly<PlaybackReport>
  /** `missed`: blocks that the output went without, since the processor began. */
  | { readonly kind: 'synced'; readonly id: number; readonly frame: number; readonly missed: number };

/** Name under which the processor is registered. */
export const PLAYER_PROCESSOR = 'barwright-player';
