import { msg } from '@lit/localize';
import { nearestBeat } from '../../model/map-queries.js';
import {
  freeBars,
  insertBeat,
  liftLocksAt,
  moveBeatTo,
  moveBeatToAttack,
  removeBeat,
  setMapEdge,
} from './beat-actions.js';
import type { KeyBinding } from '../kit/command.js';
import type { Command } from '../kit/session.js';
import { barsMeant, beatPlace, hasSong, mapOf, onBars, placeOf } from './targets.js';

/** What most of these commands share. */
const ON_BARS = onBars('beats');

/** How far one press moves a beat, in seconds. */
const NUDGE = 0.01;

/** Beats: where they are, tapping them, locks on them. */
export const BEAT_COMMANDS: readonly Command[] = [
  nudge('beat-earlier', msg('This beat a little earlier'), { key: ',' }, -NUDGE),
  nudge('beat-later', msg('This beat a little later'), { key: '.' }, NUDGE),
  {
    id: 'beat-to-attack',
    label: msg('This beat to the attack next to it'),
    key: { key: 'o' },
    ...ON_BARS,
    run: (session) => moveBeatToAttack(session, beatPlace(session)),
  },
  {
    id: 'beat-insert',
    label: msg('A beat more here'),
    key: { key: 'i' },
    scope: 'map',
    group: 'beats',
    allowed: hasSong,
    run: (session) => insertBeat(session, placeOf(session)),
  },
  {
    id: 'beat-remove',
    label: msg('No beat here'),
    key: { key: 'Delete' },
    otherKeys: [{ key: 'Backspace' }],
    ...ON_BARS,
    run: (session) => removeBeat(session, beatPlace(session)),
  },
  {
    id: 'tap',
    label: msg('Tap a beat'),
    key: { key: 't' },
    scope: 'everywhere',
    group: 'beats',
    allowed: hasSong,
    run: (session) => session.tap(false),
  },
  {
    id: 'tap-downbeat',
    label: msg('Tap a beat 1'),
    key: { key: 't', shift: true },
    scope: 'everywhere',
    group: 'beats',
    allowed: hasSong,
    run: (session) => session.tap(true),
  },
  {
    id: 'tap-end',
    label: msg('End tapping and keep the taps'),
    key: { key: 'Escape' },
    scope: 'everywhere',
    group: 'beats',
    allowed: (session) => session.tapping.value !== undefined,
    run: (session) => session.endTaps(true),
  },
  {
    id: 'tap-drop',
    label: msg('End tapping and drop the taps'),
    key: { key: 'Escape', shift: true },
    scope: 'everywhere',
    group: 'beats',
    allowed: (session) => session.tapping.value !== undefined,
    run: (session) => session.endTaps(false),
  },
  {
    id: 'free-time',
    label: msg('No steady beat in these bars (free time)'),
    key: { key: 'f' },
    ...ON_BARS,
    run: async (session) => {
      const bars = barsMeant(session);
      if (bars) await freeBars(session, bars);
    },
  },
  {
    id: 'map-start',
    label: msg('The map starts here'),
    scope: 'map',
    group: 'beats',
    allowed: hasSong,
    run: (session) => setMapEdge(session, 'start', placeOf(session)),
  },
  {
    id: 'map-end',
    label: msg('The map ends here'),
    scope: 'map',
    group: 'beats',
    allowed: hasSong,
    run: (session) => setMapEdge(session, 'end', placeOf(session)),
  },
  {
    id: 'lock-lift',
    label: msg('Lift the lock here'),
    key: { key: 'u' },
    scope: 'map',
    group: 'beats',
    allowed: (session) => (mapOf(session)?.locks.length ?? 0) > 0,
    run: (session) => liftLocksAt(session, beatPlace(session)),
  },
];

function nudge(id: string, label: string, key: KeyBinding, by: number): Command {
  return {
    id,
    label,
    key,
    ...ON_BARS,
    run: async (session) => {
      const map = mapOf(session);
      const beat = map && nearestBeat(map, placeOf(session));
      if (beat) await moveBeatTo(session, beat.start, beat.start + by);
    },
  };
}
