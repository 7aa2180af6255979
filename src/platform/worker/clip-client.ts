import { msg } from '@lit/localize';
import type { ClipsPort } from '../../app/kit/ports.js';
import type { ClipReply, ClipRequest } from './clip-messages.js';
import { runJob } from './job.js';
import { workerName } from '../../text/worker-language.js';

/** Makes clips in a worker of its own, which is gone with its memory when one is done or called off. */
export function browserClips(): ClipsPort {
  return { fault: async (format, job) => (await import('./make-clip.js')).clipFault(format, job), make };
}

const start = (): Worker =>
  new Worker(new URL('./clip-worker.ts', import.meta.url), { type: 'module', name: workerName('clip') });

const make: ClipsPort['make'] = (job, pcm, options) => {
  const request: ClipRequest = { job, ...(pcm ? { pcm } : {}) };
  return runJob<ClipReply, Blob>(start, request, {
    ...options,
    failure: msg('The clip could not be made'),
    advice: msg('Close other pages and try again, or choose fewer bars.'),
    take: ({ file }, resolve) => resolve(file),
  });
};
