import type { PackedSound } from '../../dsp/packed-sound.js';
import type { Speech } from '../../dsp/speech.js';
import type { TrackJob } from '../../app/kit/ports.js';
import type { JobReply } from './job.js';

/** Files that are not whole yet are called after the making they belong to, which holds a lock of that name while it runs. */
export const HALF = /^(making-[^.]+)\..*half$/;

/** Page to worker, once; the arrays of `pcm` are transferred. */
export interface TracksRequest {
  readonly pcm: PackedSound;
  readonly jobs: readonly TrackJob[];
  /** What is spoken with. */
  readonly speech?: Speech;
  /** Name of the ZIP archive that all go into; without it each track is a file. */
  readonly archive?: string;
  /** Folder of the origin private file system that files are written to; without it they are kept in memory. */
  readonly folder?: string;
}

/** Worker to page: any number of reports and files, then `done` or `failed`. */
export type TracksReply =
  JobReply | { readonly kind: 'file'; readonly name: string; readonly file: Blob } | { readonly kind: 'done' };
