import { msg } from '@lit/localize';
import { barsOf, beatFrom } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import type { Seconds } from '../../music/units.js';
import { barLineFrom, barNear, sectionStartFrom } from './places.js';
import type { Session } from '../kit/session.js';
import type { KeyBinding } from '../kit/command.js';
import type { Command } from '../kit/session.js';
import { hasBars, hasSelection, mapOf, placeOf } from './targets.js';

type Mover = (map: SongMap, from: Seconds, steps: number) => Seconds | undefined;

/** Moving the cursor and the selection. While playing, the sound goes along. */
export const MOVE_COMMANDS: readonly Command[] = [
  move('beat-back', msg('Previous beat'), { key: 'ArrowLeft' }, -1, (map, from, n) => beatFrom(map, from, n)?.start),
  move('beat-on', msg('Next beat'), { key: 'ArrowRight' }, 1, (map, from, n) => beatFrom(map, from, n)?.start),
  move('bar-back', msg('Previous bar'), { key: 'PageUp' }, -1, barLineFrom),
  move('bar-on', msg('Next bar'), { key: 'PageDown' }, 1, barLineFrom),
  move('section-back', msg('Previous section'), { key: 'ArrowUp' }, -1, sectionStartFrom),
  move('section-on', msg('Next section'), { key: 'ArrowDown' }, 1, sectionStartFrom),
  move('song-start', msg('First bar'), { key: 'Home' }, -1, (map) => barsOf(map)[0]?.start),
  move('song-end', msg('Last bar'), { key: 'End' }, 1, (map) => barsOf(map).at(-1)?.start),
  extend(
    'select-back',
    msg('Select one bar less, or the one before'),
    [
      { key: 'ArrowLeft', shift: true },
      { key: 'PageUp', shift: true },
    ],
    -1,
  ),
  extend(
    'select-on',
    msg('Select one bar more'),
    [
      { key: 'ArrowRight', shift: true },
      { key: 'PageDown', shift: true },
    ],
    1,
  ),
  {
    id: 'select-none',
    label: msg('Select nothing'),
    key: { key: 'Escape' },
    scope: 'map',
    group: 'view',
    allowed: (session) => hasSelection(session) || session.view.doubt.value !== undefined,
    run: ({ view }) => {
      view.selection.value = undefined;
      view.doubt.value = undefined;
    },
  },
];

function move(id: string, label: string, key: KeyBinding, steps: 1 | -1, mover: Mover): Command {
  return {
    id,
    label,
    key,
    repeats: true,
    scope: 'map',
    group: 'view',
    allowed: hasBars,
    run: async (session) => {
      const map = mapOf(session);
      const target = map && mover(map, placeOf(session), steps);
      if (target === undefined) return;
      session.view.selection.value = undefined;
      session.view.cursor.value = target;
      if (session.playing.value) await session.play(target);
    },
  };
}

function extend(id: string, label: string, keys: readonly KeyBinding[], steps: 1 | -1): Command {
  const [key, ...otherKeys] = keys;
  return {
    id,
    label,
    key,
    otherKeys,
    repeats: true,
    scope: 'map',
    group: 'view',
    allowed: hasBars,
    run: (session) => extendSelection(session, steps),
  };
}

/** One bar more or less at the end that moves: the one away from the cursor's bar, where the selection began. */
function extendSelection(session: Session, steps: 1 | -1): void {
  const map = mapOf(session);
  const here = map && barNear(map, session.view.cursor.value);
  if (!map || here === undefined) return;
  const { selection } = session.view;
  const now = selection.value;
  if (!now || here < now.first || here > now.last) {
    selection.value = { first: here, last: here };
    return;
  }
  const last = barsOf(map).length - 1;
  // The cursor's bar stays; what lies after it grows or shrinks first, then what lies before it.
  if (here === now.first && (steps > 0 || now.last > here)) {
    selection.value = { first: here, last: Math.min(last, now.last + steps) };
  } else {
    selection.value = { first: Math.max(0, Math.min(here, now.first + steps)), last: now.last };
  }
}
