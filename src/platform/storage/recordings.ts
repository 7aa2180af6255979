/** Keeps the files of recordings outside the database, where large files belong. */
export interface RecordingFiles {
  write(id: string, audio: Blob): Promise<void>;
  /** Undefined when there is none. */
  read(id: string, type: string): Promise<Blob | undefined>;
  remove(id: string): Promise<void>;
  list(): Promise<readonly string[]>;
}

const FOLDER = 'recordings';

/**
 * The origin private file system, or undefined where the browser has none that can be written from the page; the
 * recordings are then kept in the database itself.
 */
export async function openRecordingFiles(): Promise<RecordingFiles | undefined> {
  const storage = globalThis.navigator?.storage;
  if (typeof storage?.getDirectory !== 'function') return undefined;
  if (typeof FileSystemFileHandle === 'undefined' || !('createWritable' in FileSystemFileHandle.prototype)) {
    return undefined;
  }
  try {
    const folder = await (await storage.getDirectory()).getDirectoryHandle(FOLDER, { create: true });
    return recordingFiles(folder);
  } catch {
    // Private windows of some browsers have the interface but refuse to use it.
    return undefined;
  }
}

/** Recording files in `folder`, one file a song. */
export function recordingFiles(folder: FileSystemDirectoryHandle): RecordingFiles {
  return {
    write: async (id, audio) => {
      const file = await folder.getFileHandle(id, { create: true });
      // Written beside the file and put in its place by close(): a crash leaves the old file.
      const sink = await file.createWritable();
      try {
        await sink.write(audio);
        await sink.close();
      } catch (error) {
        await sink.abort().catch(() => undefined);
        throw error;
      }
    },
    read: async (id, type) => {
      try {
        const file = await (await folder.getFileHandle(id)).getFile();
        return file.slice(0, file.size, type);
      } catch (error) {
        if (isNotFound(error)) return undefined;
        throw error;
      }
    },
    remove: async (id) => {
      try {
        await folder.removeEntry(id);
      } catch (error) {
        if (!isNotFound(error)) throw error;
      }
    },
    list: async () => {
      const names: string[] = [];
      for await (const name of folder.keys()) names.push(name);
      return names;
    },
  };
}

function isNotFound(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'NotFoundError';
}
