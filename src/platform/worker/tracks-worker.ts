import { msg } from '@lit/localize';
import { ownOriginOnly } from '../egress/own-origin.js';
import { createEncoder } from 'wasm-media-encoders';
import mp3Url from 'wasm-media-encoders/wasm/mp3?url';
import { takeUpLanguage } from '../../text/worker-language.js';
import { instantiate } from './instantiate.js';
import { inSteps } from './job.js';
import { makeTracks, type TrackEncoder, type TrackSink } from './make-tracks.js';
import type { TracksReply, TracksRequest } from './tracks-messages.js';

ownOriginOnly(self);

const scope = self as unknown as {
  onmessage: (event: MessageEvent<TracksRequest>) => void;
  postMessage(reply: TracksReply): void;
};

const language = takeUpLanguage();
const say = (reply: TracksReply): void => scope.postMessage(reply);

scope.onmessage = ({ data }) => {
  const making = `making-${crypto.randomUUID()}`;
  // Held until all is made or this worker has ended, however it ends: by it others know that half a file is still worked on.
  if (data.folder !== undefined) void navigator.locks.request(making, () => make(data, making));
  else void make(data, making);
};

async function make(request: TracksRequest, making: string): Promise<void> {
  await language;
  try {
    const mp3 = request.jobs.some(({ format }) => format === 'mp3') ? await mp3Encoder() : undefined;
    // Files in the private file system are opened one at a time, but opening is not to be waited for in the midst of rendering.
    const names = request.archive === undefined ? request.jobs.map(({ name }) => name) : [request.archive];
    const files = request.folder === undefined ? undefined : await openFiles(making, request.folder, names);
    const archive = files && request.archive;
    makeTracks(
      { ...request, archive },
      { instantiate, mp3, open: (name) => files?.get(name) ?? inMemory(name), report: inSteps(say) },
    );
    for (const [name, { handle }] of files ?? []) {
      await handle.move?.(crypto.randomUUID());
      say({ kind: 'file', name, file: await handle.getFile() });
    }
    say({ kind: 'done' });
  } catch (error) {
    const full = error instanceof DOMException && error.name === 'QuotaExceededError';
    const message = error instanceof Error ? error.message : String(error);
    say({
      kind: 'failed',
      message: full ? msg('there is not enough room here. Make fewer at once, or MP3.') : message,
    });
  }
}

async function mp3Encoder(): Promise<TrackEncoder> {
  const answer = await fetch(mp3Url);
  if (!answer.ok) throw new Error(msg('the MP3 encoder could not be read. Reload the page, or choose WAV.'));
  return createEncoder('audio/mpeg', await WebAssembly.compile(await answer.arrayBuffer()));
}

/** The page's library of types leaves out what only workers have (WHATWG File System). */
interface WithSyncAccess extends FileSystemFileHandle {
  createSyncAccessHandle(): Promise<{
    write(bytes: Uint8Array<ArrayBuffer>, options: { at: number }): number;
    close(): void;
  }>;
  /** Younger than the rest of the interface. */
  move?(name: string): Promise<void>;
}

type FileSink = TrackSink & { readonly handle: WithSyncAccess };

/** Files written as they come; undefined where the browser refuses. */
async function openFiles(
  making: string,
  folder: string,
  names: readonly string[],
): Promise<Map<string, FileSink> | undefined> {
  try {
    const root = await navigator.storage.getDirectory();
    const place = await root.getDirectoryHandle(folder, { create: true });
    const files = new Map<string, FileSink>();
    // Where a file cannot be given another name once it is whole, it is cleared away by its age alone.
    const canMove = 'move' in FileSystemFileHandle.prototype;
    for (const name of names) {
      const called = canMove ? `${making}.${files.size}.half` : crypto.randomUUID();
      const handle = (await place.getFileHandle(called, { create: true })) as WithSyncAccess;
      const access = await handle.createSyncAccessHandle();
      let at = 0;
      files.set(name, {
        handle,
        add: (piece) => void (at += access.write(piece, { at })),
        end: () => access.close(),
      });
    }
    return files;
  } catch {
    // Private windows of some browsers have the interface but refuse to use it.
    return undefined;
  }
}

/** A blob of blobs, which the browser may keep on disk; handed over as soon as it is whole. */
function inMemory(name: string): TrackSink {
  const pieces: Blob[] = [];
  return {
    add: (piece) => void pieces.push(new Blob([piece])),
    end: () => say({ kind: 'file', name, file: new Blob(pieces) }),
  };
}
