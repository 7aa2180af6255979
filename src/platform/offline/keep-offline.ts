/** What the page does when a new version is there. */
export interface NewVersion {
  /** Tells the user; `use` lets the new version take over and loads the page again. */
  offer(use: () => Promise<void>): void;
  /** Resolves true when all work is stored and the page may be loaded again; false, having said why, when it may not. */
  settle(): Promise<boolean>;
  /** True while nothing is open that a new load would take away. */
  isIdle(): boolean;
}

/** Where the service worker lies, beside the page. */
const SCRIPT = 'service-worker.js';

/** Milliseconds between two looks for a new version, when the user comes back to the page. */
const LOOK_AGAIN = 3_600_000;

/**
 * Keeps the page's own files for visits without a network, where the browser can (a secure address). A version that was got
 * ready during an earlier visit takes over at once, as nothing is open yet; one that comes up during this visit waits for the
 * user. Failing is no reason to say anything: the page works with the network as before.
 */
export async function keepOffline(version: NewVersion): Promise<void> {
  const { serviceWorker } = navigator;
  if (!isSecureContext || !serviceWorker) return;
  let asked = false;
  const first = serviceWorker.controller === null;
  serviceWorker.addEventListener('controllerchange', () => {
    // The very first worker changes nothing; another window's decision must not take this one's work away.
    if (asked || (!first && version.isIdle())) location.reload();
  });
  try {
    const registration = await serviceWorker.register(new URL(SCRIPT, document.baseURI));
    registration.waiting?.postMessage('take over when alone');
    const watch = (worker: ServiceWorker | null): void => {
      worker?.addEventListener('statechange', () => {
        if (worker.state !== 'installed' || serviceWorker.controller === null) return;
        version.offer(async () => {
          if (!(await version.settle())) return;
          asked = true;
          worker.postMessage('take over');
        });
      });
    };
    watch(registration.installing);
    registration.addEventListener('updatefound', () => watch(registration.installing));
    let looked = performance.now();
    document.addEventListener('visibilitychange', () => {
      if (document.hidden || performance.now() - looked < LOOK_AGAIN) return;
      looked = performance.now();
      registration.update().catch(() => undefined);
    });
  } catch {
    // No network, or a browser that keeps nothing here.
  }
}
