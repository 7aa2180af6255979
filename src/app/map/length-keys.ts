import { msg } from '@lit/localize';
import { barOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { setBeatsOfBar } from './bar-actions.js';
import type { Editing } from '../song/editing.js';
import type { Core } from '../song/core.js';
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

/** What a length key was pressed for: a moment of the song, whichever bar stands there once earlier edits are done. */
interface Aim {
  readonly moment: Seconds;
  readonly before: boolean;
  /** The doubt that was being heard. */
  readonly doubt: number | undefined;
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
  let waiting: { readonly aim: Aim; readonly callOff: () => void; readonly done: () => void } | undefined;

  const momentMeant = (): Seconds => {
    const doubt = view.doubt.value;
    const doubted = doubt === undefined ? undefined : core.map.value?.doubts[doubt]?.time;
    if (doubted !== undefined) return doubted;
    return core.playing.value ? position() - settings.value.keyLag / 1000 : view.cursor.value;
  };

  const barMeant = (map: SongMap, { moment, before }: Aim): BarIndex | undefined => {
    const bar = barNear(map, moment);
    const index = bar === undefined ? undefined : bar - (before ? 1 : 0);
    // Before the first bar has sounded none is meant; the cursor may stand anywhere.
    const early = core.playing.value && moment < (barOf(map, 0)?.start ?? Infinity);
    return index === undefined || index < 0 || early ? undefined : index;
  };

  const apply = async (aim: Aim, beats: number): Promise<void> => {
    await core.desk.peek()?.settled();
    const map = core.map.value;
    if (!map) return;
    const bar = barMeant(map, aim);
    if (bar === undefined) {
      core.say({ kind: 'info', text: msg('There is no bar here to give a length.') });
      return;
    }
    await setBeatsOfBar(session, bar, beats);
    if (aim.doubt !== undefined && core.map.value !== map) await decided(map, aim.doubt);
  };

  const settle = async (beats: number): Promise<void> => {
    const first = waiting;
    if (!first) return;
    waiting = undefined;
    first.callOff();
    await apply(first.aim, beats);
    first.done();
  };

  return {
    target: () => {
      const map = core.map.value;
      return map && barMeant(map, waiting?.aim ?? { moment: momentMeant(), before: false, doubt: undefined });
    },
    press: async (digit, before) => {
      if (waiting && digit <= 2) return settle(10 + digit);
      // What is meant is what sounds now, before anything is waited for.
      const aim: Aim = { moment: momentMeant(), before, doubt: before ? undefined : view.doubt.value };
      const earlier = settle(1);
      if (digit === 1) {
        await new Promise<void>((done) => {
          const callOff = core.ports.clock.after(TWO_DIGITS, () => void settle(1));
          waiting = { aim, callOff, done };
        });
      }
      await earlier;
      if (digit > 1) await apply(aim, digit);
    },
    dispose: () => {
      waiting?.callOff();
      waiting?.done();
      waiting = undefined;
    },
  };
}
