import type { Pcm } from '../dsp/pcm.js';
import type { TrackJob } from '../state/ports.js';

/** Page to worker, once; the arrays of `pcm` are transferred. */
export interface TracksRequest {
  readonly pcm: Pcm;
  readonly jobs: readonly TrackJob[];
}

/** Worker to page: any number of reports, then one of the others. */
export type TracksReply =
  | { readonly kind: 'report'; readonly done: number }
  | { readonly kind: 'done'; readonly file: Blob }
  | { readonly kind: 'failed'; readonly message: string };
