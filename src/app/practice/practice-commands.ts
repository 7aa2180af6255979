import { msg, str } from '@lit/localize';
import { barsStretch, sameStretch, sectionStretch } from '../../model/play-order.js';
import type { PlayStretch } from '../../model/play-plan.js';
import type { Loop } from '../kit/practice.js';
import { sectionOfBar } from '../../model/map-queries.js';
import { boundSpeed } from '../song/practice-state.js';
import { clockText } from '../../music/clock-text.js';
import { barsText } from '../kit/sentences.js';
import type { Session } from '../kit/session.js';
import type { Command } from '../kit/session.js';
import { barsMeant, hasBars, hasSong, mapOf } from '../map/targets.js';

/** What a key changes the speed by. */
const STEP = 0.05;

/** Practising: speed, loops, counting in. */
export const PRACTICE_COMMANDS: readonly Command[] = [
  speed('slower', msg('Slower'), false, -STEP),
  speed('faster', msg('Faster'), true, STEP),
  {
    id: 'speed-plain',
    label: msg("The recording's own speed"),
    scope: 'everywhere',
    group: 'play',
    allowed: (session) => hasSong(session) && session.practice.value.speed !== 1,
    run: (session) => setSpeed(session, 1),
  },
  {
    id: 'loop-bars',
    label: msg('Loop the selected bars, or no longer'),
    key: { key: 'l' },
    scope: 'practice',
    group: 'play',
    allowed: hasBars,
    run: (session) => {
      const map = mapOf(session);
      const bars = barsMeant(session);
      const stretch = map && bars && barsStretch(map, bars.first, bars.last);
      if (map && bars && stretch) toggleLoop(session, stretch, barsText(map, bars.first, bars.last));
    },
  },
  {
    id: 'loop-section',
    label: msg('Loop the section, or no longer'),
    key: { key: 'l', shift: true },
    scope: 'practice',
    group: 'play',
    allowed: (session) => hasBars(session) && (mapOf(session)?.sections.length ?? 0) > 0,
    run: (session) => {
      const map = mapOf(session);
      const bars = barsMeant(session);
      const section = map && bars ? sectionOfBar(map, bars.first) : undefined;
      const stretch = map && section !== undefined ? sectionStretch(map, section) : undefined;
      if (map && section !== undefined && stretch) toggleLoop(session, stretch, map.sections[section]!.name);
    },
  },
  {
    id: 'loop-off',
    label: msg('No loop'),
    scope: 'everywhere',
    group: 'play',
    allowed: ({ practice }) => practice.value.loop !== undefined,
    run: (session) => setLoop(session, undefined),
  },
  {
    id: 'count-in',
    label: msg('Count in before a start, or not'),
    scope: 'everywhere',
    group: 'play',
    allowed: () => true,
    run: ({ settings, say }) => {
      const countInBars = settings.value.countInBars === 0 ? 1 : 0;
      settings.value = { ...settings.value, countInBars };
      say({
        kind: 'info',
        text: countInBars ? msg('A bar is counted before each start.') : msg('Nothing is counted in.'),
      });
    },
  },
];

function speed(id: string, label: string, shift: boolean, by: number): Command {
  return {
    id,
    label,
    key: { key: 's', shift },
    repeats: true,
    scope: 'practice',
    group: 'play',
    allowed: hasSong,
    run: (session) => setSpeed(session, session.practice.value.speed + by),
  };
}

/** Plays at this speed from now on, within bounds, and says so. */
export function setSpeed(session: Session, to: number): void {
  const speed = boundSpeed(to);
  session.practice.value = { ...session.practice.value, speed };
  session.say({ kind: 'info', text: msg(str`${Math.round(speed * 100)} % of its speed.`) });
}

/** Sets what is looped, with the ladder of the loop before, or takes the loop off; the cursor goes to its start. */
export function setLoop(session: Session, stretch: Loop | undefined): void {
  const { loop, ...rest } = session.practice.value;
  const ladder = stretch?.ladder ?? loop?.ladder;
  session.practice.value = stretch ? { ...rest, loop: { ...stretch, ...(ladder ? { ladder } : {}) } } : rest;
  if (stretch && !session.playing.value) session.view.cursor.value = stretch.from;
}

function toggleLoop(session: Session, stretch: PlayStretch, name: string): void {
  const { loop } = session.practice.value;
  const same = sameStretch(loop, stretch);
  setLoop(session, same ? undefined : stretch);
  const span = msg(str`${clockText(stretch.from)} to ${clockText(stretch.until)}`);
  session.say({ kind: 'info', text: same ? msg('No loop.') : msg(str`Loop: ${name}, ${span}.`) });
}
