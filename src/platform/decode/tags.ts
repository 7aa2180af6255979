import { ALL_FORMATS, BlobSource, Input, Logging, LogLevel } from 'mediabunny';

/** The artist that a file's own tags name; undefined when they name none or cannot be read. */
export async function artistOf(file: Blob): Promise<string | undefined> {
  Logging.level = LogLevel.Silent;
  const input = new Input({ formats: ALL_FORMATS, source: new BlobSource(file) });
  try {
    return (await input.getMetadataTags()).artist?.trim() || undefined;
  } catch {
    // Sound that can be played is all that is needed of a recording.
    return undefined;
  } finally {
    input.dispose();
  }
}
