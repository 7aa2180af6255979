/**
 * Runs a synchronous call of a decoder without its messages on the console. The WebAssembly decoders print every damaged
 * frame; we count damage and say it once, and the command line's error stream is for people.
 */
export function quiet<T>(call: () => T): T {
  const console = globalThis.console;
  const { error, warn } = console;
  console.error = () => undefined;
  console.warn = () => undefined;
  try {
    return call();
  } finally {
    console.error = error;
    console.warn = warn;
  }
}
