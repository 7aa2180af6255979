import { barAt, barEnd, barOf } from '../model/map-queries.js';
import type { SongMap } from '../model/song-map.js';
import type { BarIndex, Seconds } from '../music/units.js';
import { barAgain, setBeatsOfBar } from './actions/bars.js';
import type { Editing } from './actions/editing.js';
import type { Core } from './core.js';
import { doubtBar } from './doubts.js';
import { barNear } from './places.js';

/** A second digit counts with the first within this time, in milliseconds. */
const TWO_DIGITS = 600;

export interface LengthKeys {
  /** The bar that a length key pressed now would act on. */
  target(): BarIndex | undefined;
  /** A digit from 0 to 9 was pressed; `before` means the bar before the target. Resolves when what it meant is done. */
  press(digit: number, before: boolean): Promise<void>;
  dispose(): void;
}

/**
 * Digits as bar lengths. Only 1 can begin a longer number (10 to 12), so only 1 waits for a second digit; the bar is the
 * one that was meant when the first was pressed.
 *
 * `decided` is called when a length has settled the doubt that was being heard, with the map before it.
 */
export function createLengthKeys(
  core: Core,
  position: () => Seconds,
  session: Editing,
  decided: (before: SongMap, doubt: number) => Promise<void>,
): LengthKeys {
  const { view, settings } = core;
  let waiting: { readonly start: Seconds; readonly doubt: number | undefined; readonly off: () => void } | undefined;

  const target = (): BarIndex | undefined => {
    const map = core.map.value;
    if (!map) return undefined;
    const doubted = doubtBar(map, view.doubt.value);
    if (doubted !== undefined) return doubted;
    if (!core.playing.value) return barNear(map, view.cursor.value);
    const heard = position() - settings.value.keyLag / 1000;
    // The last bar goes on being meant for a moment after it has ended.
    return barAt(map, heard) ?? lastBarBefore(heard);
  };

  const lastBarBefore = (time: Seconds): BarIndex | undefined => {
    const map = core.map.value;
    const bar = map && barNear(map, time);
    return map && bar !== undefined && barEnd(map, bar) <= time ? bar : undefined;
  };

  const apply = async (start: Seconds, beats: number, doubt: number | undefined): Promise<void> => {
    const map = core.map.value;
    if (!map) return;
    try {
      await setBeatsOfBar(session, barAgain(map, start), beats);
    } catch (error) {
      core.sayError(error);
      return;
    }
    if (doubt !== undefined && core.map.value !== map) await decided(map, doubt);
  };

  const settle = async (beats: number): Promise<void> => {
    const first = waiting;
    if (!first) return;
    waiting = undefined;
    first.off();
    await apply(first.start, beats, first.doubt);
  };

  return {
    target,
    press: async (digit, before) => {
      const map = core.map.value;
      if (!map) return;
      if (waiting && digit <= 2) return settle(10 + digit);
      await settle(1);
      if (digit === 0) return;
      const aim = target();
      const bar = aim === undefined ? undefined : aim - (before ? 1 : 0);
      const start = bar === undefined ? undefined : barOf(map, bar)?.start;
      if (start === undefined) {
        core.say({ kind: 'info', text: 'There is no bar here to give a length.' });
        return;
      }
      const doubt = before ? undefined : view.doubt.value;
      if (digit !== 1) return apply(start, digit, doubt);
      await new Promise<void>((resolve) => {
        const off = core.ports.clock.after(TWO_DIGITS, () => void settle(1).then(resolve));
        waiting = {
          start,
          doubt,
          off: () => {
            off();
            resolve();
          },
        };
      });
    },
    dispose: () => {
      waiting?.off();
      waiting = undefined;
    },
  };
}
