import { msg } from '@lit/localize';
import type { PackedSound } from '../../dsp/packed-sound.js';
import { CHECK, SILENT_CHECKS, StoppedProblem } from './stopped.js';

/** What the worker of any job may say; all else is the job's own. */
export type JobReply =
  { readonly kind: 'report'; readonly done: number } | { readonly kind: 'failed'; readonly message: string };

export interface JobOptions<Reply extends { readonly kind: string }, Result> {
  /** First words of the message when it fails: "The clip could not be made". */
  readonly failure: string;
  /** What to do when the worker itself ended, which is mostly for want of memory. */
  readonly advice: string;
  readonly signal?: AbortSignal;
  /** Share that is done, 0 to 1. */
  readonly report?: (done: number) => void;
  /** Takes what only this job says, and calls `resolve` with what came of it. */
  readonly take: (reply: Exclude<Reply, JobReply>, resolve: (result: Result) => void) => void;
}

/**
 * Gives one request to a worker of its own, which is gone with its memory when the job is done, has failed or is called off.
 * The arrays of the request's `pcm` are transferred. Rejects with the signal's reason, or with a sentence for the user: a
 * StoppedProblem when the worker itself ended, be it without a word.
 */
export function runJob<Reply extends { readonly kind: string }, Result = void>(
  start: () => Worker,
  request: { readonly pcm?: PackedSound },
  { failure, advice, signal, report, take }: JobOptions<Reply, Result>,
): Promise<Result> {
  return new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason as Error);
    const worker = start();
    let silent = 0;
    const watch = setInterval(() => {
      if (++silent >= SILENT_CHECKS) stopped(msg('it stopped unexpectedly'));
    }, CHECK);
    const end = (): void => {
      clearInterval(watch);
      signal?.removeEventListener('abort', abort);
      worker.terminate();
    };
    const fail = (error: Error): void => {
      end();
      reject(error);
    };
    const stopped = (why: string): void => fail(new StoppedProblem(`${failure}: ${why}. ${advice}`));
    const abort = (): void => fail(signal!.reason as Error);
    signal?.addEventListener('abort', abort);
    worker.onerror = (event) => {
      event.preventDefault();
      stopped(event.message || msg('there was not enough memory'));
    };
    worker.onmessageerror = () => stopped(msg('there was not enough memory'));
    worker.onmessage = ({ data }: MessageEvent<Reply>) => {
      silent = 0;
      if (isOfAnyJob(data))
        return data.kind === 'report' ? report?.(data.done) : fail(new Error(`${failure}: ${data.message}`));
      try {
        take(data as Exclude<Reply, JobReply>, (result) => {
          end();
          resolve(result);
        });
      } catch (error) {
        // What is done with a file may fail too; nobody else would hear of it.
        fail(error as Error);
      }
    };
    const buffers = request.pcm?.channels.map((channel) => channel.buffer as ArrayBuffer) ?? [];
    worker.postMessage(request, [...new Set(buffers)]);
  });
}

function isOfAnyJob(reply: { readonly kind: string }): reply is JobReply {
  return reply.kind === 'report' || reply.kind === 'failed';
}

/** In the worker: `report`, thinned out to what can be seen, so that no message is sent for every block. */
export function inSteps(say: (reply: JobReply) => void): (done: number) => void {
  let told = 0;
  return (done) => {
    if (done - told < 0.005) return;
    told = done;
    say({ kind: 'report', done });
  };
}
