import { msg } from '@lit/localize';
import type { TracksPort } from '../../app/kit/ports.js';
import { runJob } from './job.js';
import { HALF, type TracksReply, type TracksRequest } from './tracks-messages.js';
import { workerName } from '../../text/worker-language.js';

/** Folder of the origin private file system in which tracks lie until the browser has saved them. */
const FOLDER = 'practice-tracks';
/** Milliseconds after which a track that lies there is no longer needed: nobody takes that long to say where to put it. */
const KEPT_FOR = 60 * 60_000;

/** Makes tracks in a worker of its own, which is gone with its memory when they are done or called off. */
export function browserTracks(): TracksPort {
  // A page that was closed while it made some left half of them.
  void tidied();
  return {
    make: async (pcm, jobs, options) => {
      const folder = (await tidied()) ? FOLDER : undefined;
      // In memory a whole archive may be too much: each track is then handed over as it is made.
      const archive = folder !== undefined && jobs.length > 1 ? options.archive : undefined;
      await run({ pcm, jobs, speech: options.speech, archive, folder }, options);
    },
  };
}

const start = (): Worker =>
  new Worker(new URL('./tracks-worker.ts', import.meta.url), { type: 'module', name: workerName('tracks') });

function run(request: TracksRequest, { signal, report, give }: Parameters<TracksPort['make']>[2]): Promise<void> {
  return runJob<TracksReply>(start, request, {
    signal,
    report,
    failure: msg('The tracks could not be made'),
    advice: msg('Close other pages and try again.'),
    take: (reply, resolve) => (reply.kind === 'file' ? give(reply.name, reply.file) : resolve()),
  });
}

/**
 * Clears away what lies there from long ago, and half tracks as soon as nothing works on them any more; false where there is no
 * such file system.
 */
async function tidied(): Promise<boolean> {
  try {
    if (typeof FileSystemFileHandle === 'undefined') return false;
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });
    for await (const [name, handle] of folder.entries()) {
      const making = HALF.exec(name)?.[1];
      if (making !== undefined) void navigator.locks.request(making, () => removeLeft(folder, name));
      else if (handle.kind !== 'file' || (await isOld(handle as FileSystemFileHandle)))
        await folder.removeEntry(name, { recursive: true }).catch(() => undefined);
    }
    return true;
  } catch {
    return false;
  }
}

async function isOld(handle: FileSystemFileHandle): Promise<boolean> {
  return Date.now() - (await handle.getFile()).lastModified > KEPT_FOR;
}

/** Removes a file whose worker has just ended: the browser may give back its locks before its files. */
async function removeLeft(folder: FileSystemDirectoryHandle, name: string, tries = 20): Promise<void> {
  try {
    await folder.removeEntry(name);
  } catch (error) {
    const isHeld = error instanceof DOMException && error.name === 'NoModificationAllowedError';
    if (!isHeld || tries === 0) return;
    await new Promise((resolve) => setTimeout(resolve, 500));
    await removeLeft(folder, name, tries - 1);
  }
}
