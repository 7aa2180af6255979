import { msg, str } from '@lit/localize';
import { sameTime } from '../../model/lock-holds.js';
import { addLocks } from '../../model/edits/add-locks.js';
import type { SongMap } from '../../model/song-map.js';
import type { Core } from '../song/core.js';
import { doubtAfter, doubtFrom, doubtSubject, doubtText } from './doubts-state.js';
import { sentence } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';

export interface DoubtFlow {
  /** Goes to the next milder doubt (1) or the one before (-1) and plays it. */
  step(steps: 1 | -1): Promise<void>;
  /** Takes one of the readings; the next doubt follows when this one was being heard. */
  decide(index: number, reading: 'keep' | 'other'): Promise<void>;
  /** Goes on after the doubt at `index` was settled, in the map before the edit. */
  follow(before: SongMap, index: number): Promise<void>;
}

export function createDoubtFlow(
  core: Core,
  session: Pick<Session, 'edit'>,
  hear: (index: number) => Promise<void>,
): DoubtFlow {
  const { view } = core;

  const goTo = async (index: number): Promise<void> => {
    const map = core.map.value;
    if (!map) return;
    core.say({ kind: 'info', text: `${sentence(doubtText(map, index))} ${left(map)}` });
    await hear(index);
  };

  const follow: DoubtFlow['follow'] = async (before, index) => {
    const map = core.map.value;
    const said = core.notice.value?.text ?? '';
    const next = map && doubtAfter(before, index, map);
    if (!map || next === undefined) {
      view.doubt.value = undefined;
      core.say({ kind: 'info', text: `${said} ${msg('No doubt is left.')}`.trim() });
      return;
    }
    // What the edit did stays readable in front of the next question.
    core.say({ kind: 'info', text: `${said}\n${sentence(doubtText(map, next))} ${left(map)}`.trim() });
    await hear(next);
  };

  return {
    step: async (steps) => {
      const map = core.map.value;
      if (!map) return;
      const next = doubtFrom(map, view.doubt.value, steps);
      if (next === undefined) core.say({ kind: 'info', text: msg('No doubt is left.') });
      else await goTo(next);
    },
    follow,
    decide: async (index, reading) => {
      const map = core.map.value;
      const doubt = map?.doubts[index];
      if (!map || !doubt) return;
      const drafts = doubt[reading];
      if (drafts.length === 0) {
        core.say({
          kind: 'info',
          text: msg('There is no other reading to take here. Press the number of beats, or move the beats.'),
        });
        return;
      }
      const heard = view.doubt.value === index;
      const name = (doubtSubject(map, index) ?? msg('the doubt')).replace(/^[BT]/, (letter) => letter.toLowerCase());
      const label = reading === 'keep' ? msg(str`${name} as shown`) : msg(str`${name}: the other reading`);
      await session.edit(label, (now) => {
        // Edits before this one may have settled the doubt already; its locks are placed in time and hold all the same.
        const same = now.doubts.find(({ time }) => sameTime(time, doubt.time));
        return addLocks(now, same?.[reading] ?? drafts);
      });
      if (heard && core.map.value !== map) await follow(map, index);
    },
  };
}

function left(map: SongMap): string {
  const { length } = map.doubts;
  return length === 1 ? msg('(1 doubt left)') : msg(str`(${length} doubts left)`);
}
