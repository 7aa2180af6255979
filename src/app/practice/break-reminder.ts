import { msg, str } from '@lit/localize';
import { effect } from '@preact/signals-core';
import type { Core } from '../song/core.js';

const MINUTE = 60_000;
/** Milliseconds without playing after which hand and ear have rested. */
const RESTED = 5 * MINUTE;

/**
 * Calls a rest to mind after so many minutes of playing (settings.restAfter; 0: never), pauses under five minutes not
 * counting as rest. Returns the function that ends it.
 */
export function createRest(core: Core): () => void {
  const { settings, ports } = core;
  const { clock } = ports;
  /** Milliseconds played since the last rest, up to `since`. */
  let played = 0;
  let since: number | undefined;
  let stopped = clock.now();
  let cancel = (): void => {};

  const wait = (): void => {
    cancel();
    const { restAfter } = settings.peek();
    if (since === undefined || restAfter === 0) return;
    const left = restAfter * MINUTE - played - (clock.now() - since);
    cancel = clock.after(Math.max(0, left), remind);
  };
  const remind = (): void => {
    played = 0;
    since = clock.now();
    core.say({
      kind: 'info',
      text: msg(
        str`You have been playing for ${settings.peek().restAfter} minutes. Put the instrument down for a while: rest hand, wrist and ears.`,
      ),
      action: {
        label: msg('Remind me no more'),
        run: async () => {
          settings.value = { ...settings.peek(), restAfter: 0 };
        },
      },
    });
    wait();
  };

  const endings = [
    effect(() => {
      const playing = core.playing.value;
      const now = clock.now();
      cancel();
      if (playing) {
        if (now - stopped >= RESTED) played = 0;
        since = now;
        wait();
      } else if (since !== undefined) {
        played += now - since;
        since = undefined;
        stopped = now;
      }
    }),
    effect(() => {
      void settings.value.restAfter;
      wait();
    }),
  ];
  return () => {
    cancel();
    for (const end of endings) end();
  };
}
