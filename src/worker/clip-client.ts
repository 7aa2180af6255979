import type { ClipsPort } from '../state/ports.js';
import type { ClipReply, ClipRequest } from './clip-messages.js';

/** Makes clips in a worker of its own, which is gone with its memory when one is done or called off. */
export function browserClips(): ClipsPort {
  return { fault: async (format, job) => (await import('./make-clip.js')).clipFault(format, job), make };
}

const make: ClipsPort['make'] = (job, pcm, { signal, report }) =>
  new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason as Error);
    const worker = new Worker(new URL('./clip-worker.ts', import.meta.url), { type: 'module', name: 'clip' });
    const end = (): void => {
      signal?.removeEventListener('abort', abort);
      worker.terminate();
    };
    const fail = (error: Error): void => {
      end();
      reject(error);
    };
    const abort = (): void => fail(signal!.reason as Error);
    signal?.addEventListener('abort', abort);
    worker.onerror = (event) => {
      event.preventDefault();
      fail(
        new Error(
          `The clip could not be made: ${event.message || 'there was not enough memory'}. Close other pages and try again, or choose fewer bars.`,
        ),
      );
    };
    worker.onmessage = ({ data }: MessageEvent<ClipReply>) => {
      if (data.kind === 'report') return report?.(data.done);
      if (data.kind === 'failed') return fail(new Error(`The clip could not be made: ${data.message}`));
      end();
      resolve(data.file);
    };
    const request: ClipRequest = { job, ...(pcm ? { pcm } : {}) };
    const buffers = pcm ? pcm.channels.map((channel) => channel.buffer as ArrayBuffer) : [];
    worker.postMessage(request, [...new Set(buffers)]);
  });
