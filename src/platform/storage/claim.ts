/** How long a page that is being reloaded may still hold its song, in milliseconds. */
const PATIENCE = 1500;

/**
 * Takes `name` for this page; the function returned gives it back, and so does leaving the page. Undefined when
 * another page keeps it. Where the browser has no locks everyone gets it.
 */
export async function claimSong(name: string): Promise<(() => void) | undefined> {
  const locks = globalThis.navigator?.locks;
  if (!locks) return () => undefined;
  return new Promise((resolve, reject) => {
    locks
      .request(name, { signal: AbortSignal.timeout(PATIENCE) }, () => new Promise<void>((free) => resolve(free)))
      .catch((error: unknown) => {
        if (error instanceof DOMException && ['TimeoutError', 'AbortError'].includes(error.name)) resolve(undefined);
        else reject(error instanceof Error ? error : new Error(String(error)));
      });
  });
}
