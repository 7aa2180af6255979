import type { TracksPort } from '../state/ports.js';
import type { TracksReply, TracksRequest } from './tracks-messages.js';

/** Folder of the origin private file system in which tracks lie until the browser has saved them. */
const FOLDER = 'practice-tracks';
/** Milliseconds after which a track that lies there is no longer needed: nobody takes that long to say where to put it. */
const KEPT_FOR = 60 * 60_000;

/** Makes tracks in a worker of its own, which is gone with its memory when they are done or called off. */
export function browserTracks(): TracksPort {
  return {
    make: async (pcm, jobs, options) => {
      const folder = (await tidied()) ? FOLDER : undefined;
      // In memory a whole archive may be too much: each track is then handed over as it is made.
      const archive = folder !== undefined && jobs.length > 1 ? options.archive : undefined;
      await run({ pcm, jobs, speech: options.speech, archive, folder }, options);
    },
  };
}

function run(request: TracksRequest, { signal, report, give }: Parameters<TracksPort['make']>[2]): Promise<void> {
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
      fail(
        new Error(
          `The tracks could not be made: ${event.message || 'there was not enough memory'}. Close other pages and try again.`,
        ),
      );
    };
    worker.onmessage = ({ data }: MessageEvent<TracksReply>) => {
      if (data.kind === 'report') return report?.(data.done);
      if (data.kind === 'file') return give(data.name, data.file);
      if (data.kind === 'failed') return fail(new Error(`The tracks could not be made: ${data.message}`));
      end();
      resolve();
    };
    const buffers = request.pcm.channels.map((channel) => channel.buffer as ArrayBuffer);
    worker.postMessage(request, [...new Set(buffers)]);
  });
}

/** Clears away what lies there from long ago; false where there is no such file system. */
async function tidied(): Promise<boolean> {
  try {
    if (typeof FileSystemFileHandle === 'undefined') return false;
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });
    for await (const [name, handle] of folder.entries()) {
      const old =
        handle.kind !== 'file' ||
        Date.now() - (await (handle as FileSystemFileHandle).getFile()).lastModified > KEPT_FOR;
      if (old) await folder.removeEntry(name, { recursive: true }).catch(() => undefined);
    }
    return true;
  } catch {
    return false;
  }
}
