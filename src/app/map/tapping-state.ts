import { msg, str } from '@lit/localize';
import { addLocks } from '../../model/edits/add-locks.js';
import type { Seconds } from '../../music/units.js';
import type { Core } from '../song/core.js';
import { barLineFrom } from './places.js';
import { clockText } from '../../music/clock-text.js';
import { counted } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import { addTap, tapLock } from './taps.js';

export interface TapFlow {
  /** One tap where the sound is now. While nothing plays, the first one starts to play a bar before the cursor instead. */
  tap(isDownbeat: boolean): Promise<void>;
  /** Ends tapping; the taps become one lock with `keep`, and are dropped without. */
  end(keep: boolean): Promise<void>;
}

export function createTapFlow(
  core: Core,
  session: Pick<Session, 'edit'>,
  sound: { position(): Seconds; play(from: Seconds): Promise<void>; stop(): void },
): TapFlow {
  const { tapping, view, settings } = core;
  return {
    tap: async (isDownbeat) => {
      const map = core.map.value;
      if (!map) return;
      if (!core.playing.value) {
        tapping.value ??= { beats: [], downbeats: [] };
        const from = barLineFrom(map, view.cursor.value, -1) ?? view.cursor.value;
        core.say({ kind: 'info', text: msg('Tap every beat: T, or shift T for a beat 1. Escape ends.') });
        await sound.play(Math.min(from, view.cursor.value));
        return;
      }
      tapping.value = addTap(tapping.value ?? { beats: [], downbeats: [] }, sound.position(), isDownbeat);
    },
    end: async (keep) => {
      const taps = tapping.value;
      const song = core.desk.value?.song.value;
      tapping.value = undefined;
      if (!taps || !song) return;
      if (!keep || taps.beats.length === 0) {
        core.say({ kind: 'info', text: keep ? msg('No beat was tapped.') : msg('The taps were dropped.') });
        return;
      }
      sound.stop();
      const { start, end } = song.map;
      const lock = tapLock(taps, song.evidence, { snap: settings.value.snapTaps, from: start, to: end });
      if (!lock) {
        core.say({ kind: 'info', text: msg('One tap makes no beat yet; tap at least twice.') });
        return;
      }
      const first = lock.beats[0] ?? 0;
      const last = lock.beats.at(-1) ?? first;
      const beats = counted(lock.beats.length, msg('beat'), msg('beats'));
      const label = msg(str`${beats} tapped, ${clockText(first)} to ${clockText(last)}`);
      await session.edit(label, (map) => addLocks(map, [lock]));
      view.cursor.value = first;
    },
  };
}
