import { msg, str } from '@lit/localize';
import { doubleTempo, halveTempo } from '../../model/edits/level.js';
import { barEnd, barsOf } from '../../model/map-queries.js';
import { acceptBar, lengthenBar, toggleBarStart } from './bar-actions.js';
import { shiftBars } from './shift-actions.js';
import { barsText } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import type { KeyBinding } from '../kit/command.js';
import type { Command } from '../kit/session.js';
import { barsMeant, beatPlace, hasSelection, mapOf, onBars } from './targets.js';
import { askTimeSignature } from './time-signature-prompt.js';

/** What most of these commands share. */
const ON_BARS = onBars('bars');

/** Lengths of bars that a digit sets. */
const DIGITS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 0] as const;

/** Bars: how long they are, where they start, how fast they are counted. */
export const BAR_COMMANDS: readonly Command[] = [
  ...DIGITS.map((digit) => length(digit, false)),
  ...DIGITS.map((digit) => length(digit, true)),
  {
    id: 'bar-start',
    label: msg('A bar starts on this beat, or no longer does'),
    key: { key: 'a' },
    ...ON_BARS,
    run: (session) => toggleBarStart(session, beatPlace(session)),
  },
  {
    id: 'bar-accept',
    label: msg('This bar is right as it stands'),
    key: { key: 'r' },
    ...ON_BARS,
    run: async (session) => {
      const bars = barsMeant(session);
      if (bars) await acceptBar(session, bars.first);
    },
  },
  halfBeat('bar-half-longer', msg('Bar half a beat longer'), 0.5),
  halfBeat('bar-half-shorter', msg('Bar half a beat shorter'), -0.5),
  shift('lines-earlier', msg('Bar lines one beat earlier from here on'), { key: 'e' }, -1, 'from here on'),
  shift('lines-later', msg('Bar lines one beat later from here on'), { key: 'e', shift: true }, 1, 'from here on'),
  shift('all-lines-earlier', msg('Bar lines one beat earlier everywhere'), undefined, -1, 'everywhere'),
  shift('all-lines-later', msg('Bar lines one beat later everywhere'), undefined, 1, 'everywhere'),
  level('tempo-half', msg('Half tempo'), { key: 'h' }, 'half'),
  level('tempo-double', msg('Double tempo'), { key: 'h', shift: true }, 'double'),
  {
    id: 'time-signature',
    label: msg('Time signature…'),
    key: { key: 'm' },
    ...ON_BARS,
    run: (session) => askTimeSignature(session, session.view.selection.value),
  },
  {
    id: 'bar-time-signature',
    label: msg('Time signature of this bar…'),
    key: { key: 'm', shift: true },
    ...ON_BARS,
    run: (session) => askTimeSignature(session, barsMeant(session)),
  },
];

function length(digit: number, before: boolean): Command {
  const beats = digit === 1 ? msg('1 beat; with a second digit 10 to 12') : msg(str`${digit} beats`);
  return {
    id: `bar-${before ? 'before-' : ''}${digit}`,
    label:
      digit === 0
        ? msg('Second digit: 10 beats')
        : before
          ? msg(str`The bar before has ${beats}`)
          : msg(str`The bar has ${beats}`),
    key: { code: `Digit${digit}`, shift: before },
    otherKeys: [{ code: `Numpad${digit}`, shift: before }],
    ...ON_BARS,
    run: (session) => session.lengthKey(digit, before),
  };
}

function halfBeat(id: string, label: string, by: 0.5 | -0.5): Command {
  return {
    id,
    label,
    ...ON_BARS,
    run: async (session) => {
      const bar = session.lengthTarget();
      if (bar !== undefined) await lengthenBar(session, bar, by);
    },
  };
}

function shift(
  id: string,
  label: string,
  key: KeyBinding | undefined,
  by: 1 | -1,
  reach: 'from here on' | 'everywhere',
): Command {
  return {
    id,
    label,
    key,
    ...ON_BARS,
    run: (session) => shiftBars(session, by, reach === 'everywhere' ? undefined : beatPlace(session)),
  };
}

/** Over the selected bars, or everywhere when none are selected. */
function level(id: string, label: string, key: KeyBinding, to: 'half' | 'double'): Command {
  return {
    id,
    label,
    key,
    ...ON_BARS,
    run: async (session) => {
      const change = to === 'half' ? halveTempo : doubleTempo;
      const stretch = selectedStretch(session);
      const label = to === 'half' ? msg('half tempo') : msg('double tempo');
      if (!stretch) await session.edit(label, (map) => change(map));
      else await session.edit(`${label}, ${stretch.name}`, (map) => change(map, stretch.from, stretch.to));
    },
  };
}

function selectedStretch(session: Session): { from: number; to: number; name: string } | undefined {
  const map = mapOf(session);
  const { value } = session.view.selection;
  if (!map || !value || !hasSelection(session)) return undefined;
  const from = barsOf(map)[value.first]?.start;
  return from === undefined
    ? undefined
    : { from, to: barEnd(map, value.last), name: barsText(map, value.first, value.last) };
}
