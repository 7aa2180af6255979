import type { Decoded } from '../../app/kit/ports.js';
import type { RecordingProblem } from './problem.js';

/** What the page asks of a decode worker: one file, once; to cancel it, the page ends the worker. */
export interface DecodeRequest {
  readonly file: Blob;
  readonly fileName: string;
  /** The signal for the analysis is not wanted. */
  readonly soundOnly?: boolean;
}

/** What the worker answers: any number of reports, then one of the others. */
export type DecodeReply =
  | { readonly kind: 'report'; readonly done: number }
  | { readonly kind: 'outline'; readonly from: number; readonly data: Int8Array }
  | { readonly kind: 'done'; readonly decoded: Decoded }
  | { readonly kind: 'problem'; readonly problem: RecordingProblem['kind']; readonly message: string }
  | { readonly kind: 'failed'; readonly message: string };
