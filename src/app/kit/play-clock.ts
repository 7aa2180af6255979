import { effect } from '@preact/signals-core';
import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Seconds } from '../../music/units.js';
import type { Session } from './session.js';

/**
 * Calls `moved` each frame while the sound plays, once more when it stops, and when the cursor moves while it is still.
 * `moved` moves what is already drawn; it must not make the host render.
 */
export class PlayClock implements ReactiveController {
  private frame: number | undefined;
  private end: (() => void) | undefined;

  constructor(
    private readonly host: ReactiveControllerHost & { readonly session: Session },
    private readonly moved: (at: Seconds, playing: boolean) => void,
  ) {
    host.addController(this);
  }

  hostUpdated(): void {
    this.end ??= effect(() => {
      const { playing, view } = this.host.session;
      if (playing.value) {
        this.frame ??= requestAnimationFrame(this.tick);
      } else {
        this.cancel();
        this.moved(view.cursor.value, false);
      }
    });
  }

  hostDisconnected(): void {
    this.cancel();
    this.end?.();
    this.end = undefined;
  }

  private readonly tick = (): void => {
    this.frame = undefined;
    const { session } = this.host;
    if (!session.playing.peek()) return;
    this.moved(session.position(), true);
    this.frame = requestAnimationFrame(this.tick);
  };

  private cancel(): void {
    if (this.frame !== undefined) cancelAnimationFrame(this.frame);
    this.frame = undefined;
  }
}
