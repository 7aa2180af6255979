import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Keeps the screen awake while `wanted`, in browsers that can (W3C Screen Wake Lock API). */
export class WakeLockController implements ReactiveController {
  private lock: WakeLockSentinel | undefined;
  private wanted = false;

  constructor(host: ReactiveControllerHost) {
    host.addController(this);
  }

  keep(wanted: boolean): void {
    this.wanted = wanted;
    if (wanted) void this.ask();
    else void this.release();
  }

  hostConnected(): void {
    document.addEventListener('visibilitychange', this.seen);
  }

  hostDisconnected(): void {
    document.removeEventListener('visibilitychange', this.seen);
    this.keep(false);
  }

  // The browser takes the lock away while the page is hidden.
  private readonly seen = (): void => {
    if (this.wanted && document.visibilityState === 'visible') void this.ask();
  };

  private async ask(): Promise<void> {
    if (!('wakeLock' in navigator) || (this.lock && !this.lock.released)) return;
    try {
      const lock = await navigator.wakeLock.request('screen');
      if (this.wanted) this.lock = lock;
      else void lock.release();
    } catch {
      // Refused when the battery is low: the screen then sleeps as it would anyway.
    }
  }

  private async release(): Promise<void> {
    const { lock } = this;
    this.lock = undefined;
    await lock?.release().catch(() => {});
  }
}
