/** A folder of files in memory with the part of FileSystemDirectoryHandle that the storage uses. */
export class RecordingFolder {
  readonly files = new Map<string, Blob>();
  /** Set to make the next write fail as a full disk does. */
  full = false;

  asHandle(): FileSystemDirectoryHandle {
    return this as unknown as FileSystemDirectoryHandle;
  }

  async getFileHandle(name: string, options: { create?: boolean } = {}): Promise<unknown> {
    if (!this.files.has(name)) {
      if (!options.create) throw new DOMException('no such file', 'NotFoundError');
      this.files.set(name, new Blob());
    }
    return {
      getFile: async () => this.files.get(name),
      createWritable: async () => {
        const parts: Blob[] = [];
        return {
          write: async (part: Blob) => {
            if (this.full) throw new DOMException('full', 'QuotaExceededError');
            parts.push(part);
          },
          close: async () => {
            this.files.set(name, new Blob(parts));
          },
          abort: async () => undefined,
        };
      },
    };
  }

  async removeEntry(name: string): Promise<void> {
    if (!this.files.delete(name)) throw new DOMException('no such file', 'NotFoundError');
  }

  async *keys(): AsyncGenerator<string> {
    yield* this.files.keys();
  }
}
