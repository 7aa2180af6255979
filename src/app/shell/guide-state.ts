import { computed, effect, signal, type ReadonlySignal } from '@preact/signals-core';
import type { SongMap } from '../../model/song-map.js';
import { GUIDE_STEPS, type Guide, type GuideStep, type KeptGuide } from '../kit/guide.js';
import type { Core } from '../song/core.js';

/** What can be seen of the song and the screen to have been done by now. */
export function stepsSeen(
  map: SongMap,
  seen: { readonly workspace: string; readonly playing: boolean },
): readonly GuideStep[] {
  const done: readonly (readonly [GuideStep, boolean])[] = [
    ['load', true],
    // A song without doubts has nothing to decide; every decision is a lock.
    ['doubts', map.doubts.length === 0 || map.locks.length > 0],
    ['sections', map.sections.some(({ origin }) => origin === 'user')],
    ['play', seen.workspace === 'play' && seen.playing],
    ['chart', seen.workspace === 'chart'],
  ];
  return done.flatMap(([step, is]) => (is ? [step] : []));
}

export interface GuideKeeper {
  readonly guide: ReadonlySignal<Guide | undefined>;
  readonly close: () => void;
  readonly dispose: () => void;
}

/**
 * Follows the user through the first song of an empty library. `ready` resolves when the list of kept songs is known:
 * whoever has songs already is not guided.
 */
export function createGuide(core: Core, ready: Promise<void>): GuideKeeper {
  const { settings } = core;
  const known = signal(false);
  const keep = (change: Partial<KeptGuide>): void => {
    settings.value = { ...settings.peek(), guide: { ...settings.peek().guide, ...change } };
  };
  void ready.then(() => {
    known.value = true;
  });
  const open = computed(() => core.desk.value?.id);

  const dispose = effect(() => {
    const id = open.value;
    const map = core.map.value;
    const kept = settings.value.guide;
    if (!known.value || kept.closed) return;
    if (id === undefined || !map || (kept.song !== undefined && kept.song !== id)) {
      if (kept.done.length === GUIDE_STEPS.length) keep({ closed: true });
      return;
    }
    if (kept.song === undefined && core.songs.peek().some((song) => song.id !== id)) return keep({ closed: true });
    const seen = stepsSeen(map, { workspace: core.view.workspace.value, playing: core.playing.value });
    const done = GUIDE_STEPS.filter((step) => kept.done.includes(step) || seen.includes(step));
    if (kept.song === undefined || done.length > kept.done.length) keep({ song: id, done });
  });

  return {
    guide: computed(() => {
      const { song, done, closed } = settings.value.guide;
      if (closed || song === undefined || song !== open.value) return undefined;
      return { done, left: GUIDE_STEPS.filter((step) => !done.includes(step)) };
    }),
    close: () => keep({ closed: true }),
    dispose,
  };
}
