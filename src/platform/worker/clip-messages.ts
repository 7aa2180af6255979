import type { PackedSound } from '../../dsp/packed-sound.js';
import type { ClipJob } from '../../app/kit/ports.js';
import type { JobReply } from './job.js';

/** Page to worker, once; the arrays of `pcm` are transferred. Without `pcm` the clip is silent. */
export interface ClipRequest {
  readonly job: ClipJob;
  readonly pcm?: PackedSound;
}

/** Worker to page: any number of reports, then the file, or why there is none. */
export type ClipReply = JobReply | { readonly kind: 'made'; readonly file: Blob };
