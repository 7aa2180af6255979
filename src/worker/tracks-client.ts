import type { TracksPort } from '../state/ports.js';
import type { TracksReply, TracksRequest } from './tracks-messages.js';

/** Makes tracks in a worker of its own, which is gone with its memory when they are done or called off. */
export function browserTracks(): TracksPort {
  return { make };
}

function make(...[pcm, jobs, { signal, report } = {}]: Parameters<TracksPort['make']>): Promise<Blob> {
  return new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason as Error);
    const worker = new Worker(new URL('./tracks-worker.ts', import.meta.url), { type: 'module', name: 'tracks' });
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
      fail(new Error(`The tracks could not be made: ${event.message || 'there was not enough memory'}.`));
    };
    worker.onmessage = ({ data }: MessageEvent<TracksReply>) => {
      if (data.kind === 'report') return report?.(data.done);
      if (data.kind === 'failed') return fail(new Error(`The tracks could not be made: ${data.message}`));
      end();
      resolve(data.file);
    };
    const request: TracksRequest = { pcm, jobs };
    worker.postMessage(
      request,
      pcm.channels
        .map((channel) => channel.buffer as ArrayBuffer)
        .filter((buffer, i, all) => all.indexOf(buffer) === i),
    );
  });
}
