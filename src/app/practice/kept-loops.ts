import { effect, untracked } from '@preact/signals-core';
import { sameStretch } from '../../model/play-order.js';
import type { Core } from '../song/core.js';
import type { Loop } from '../kit/practice.js';
import type { KeptLoop, Settings } from '../kit/session.js';
import { MOST_LOOPS } from '../kit/settings.js';

/** Loops of one recording that are offered again. */
const OFFERED = 5;

/** The loops last played in a recording (its contentId), the latest first. */
export function loopsOf({ loops }: Pick<Settings, 'loops'>, recording: string): readonly KeptLoop[] {
  return loops.filter((loop) => loop.recording === recording).slice(0, OFFERED);
}

/** The kept loops with `loop` first, those that play the same taken out. */
function withLoop(loops: readonly KeptLoop[], loop: KeptLoop): readonly KeptLoop[] {
  return [loop, ...loops.filter((each) => each.recording !== loop.recording || !sameLoop(each, loop))].slice(
    0,
    MOST_LOOPS,
  );
}

/** True when both play the same stretches, whatever their ladders. */
export function sameLoop(a: Loop, b: Loop): boolean {
  return sameStretch(a, b) && sameStretch(a.other, b.other);
}

/** Keeps each loop that is played. Returns the function that ends it. */
export function createKeptLoops({ playing, practice, settings, map }: Core): () => void {
  return effect(() => {
    const { loop } = practice.value;
    const recording = map.value?.recording.contentId;
    if (!playing.value || !loop || recording === undefined) return;
    untracked(() => {
      const loops = withLoop(settings.peek().loops, { recording, ...loop });
      if (JSON.stringify(loops) !== JSON.stringify(settings.peek().loops))
        settings.value = { ...settings.peek(), loops };
    });
  });
}
