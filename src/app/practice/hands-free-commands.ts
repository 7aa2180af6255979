import { msg, str } from '@lit/localize';
import { barAt, barsOf, sectionBars, sectionOfBar } from '../../model/map-queries.js';
import { barsStretch, sameStretch, sectionStretch } from '../../model/play-order.js';
import type { PlayStretch } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import { barLineFrom, sectionNear, sectionStartFrom } from '../map/places.js';
import { barsText } from '../kit/sentences.js';
import type { HandsFree, Session } from '../kit/session.js';
import type { Command } from '../kit/session.js';
import { setLoop } from './practice-commands.js';
import { hasSong, mapOf, placeOf } from '../map/targets.js';

/** What a foot or a far key can do: pedals that turn pages send Page Up and Page Down. */
export const HANDS_FREE_COMMANDS: readonly Command[] = [
  {
    id: 'again',
    label: msg('Again: from the start of the loop or section'),
    scope: 'everywhere',
    group: 'play',
    allowed: hasSong,
    run: again,
  },
  {
    id: 'go-on',
    label: msg('Go on: to what follows the loop or section'),
    scope: 'everywhere',
    group: 'play',
    allowed: hasSong,
    run: goOn,
  },
  {
    id: 'pedal-back',
    label: msg('First pedal (as set beside the stage)'),
    key: { key: 'PageUp' },
    scope: 'play',
    group: 'play',
    allowed: hasSong,
    run: (session) => runHandsFree(session, session.settings.value.pedalBack),
  },
  {
    id: 'pedal-on',
    label: msg('Second pedal (as set beside the stage)'),
    key: { key: 'PageDown' },
    scope: 'play',
    group: 'play',
    allowed: hasSong,
    run: (session) => runHandsFree(session, session.settings.value.pedalOn),
  },
];

export async function runHandsFree(session: Session, what: HandsFree): Promise<void> {
  switch (what) {
    case 'again':
      return again(session);
    case 'go on':
      return goOn(session);
    case 'play':
      return session.playing.value ? session.stop() : session.play();
    case 'bar back':
      return moveBar(session, -1);
    case 'bar on':
      return moveBar(session, 1);
    case 'nothing':
      return;
  }
}

/** Plays once more from the start of the loop, else of the section, counted in as any start. */
async function again(session: Session): Promise<void> {
  const map = mapOf(session);
  if (!map) return;
  const { loop } = session.practice.value;
  const from = loop?.from ?? sectionNear(map, placeOf(session) + 1e-3)?.start ?? map.start;
  session.stop();
  session.view.cursor.value = from;
  await session.play();
}

/**
 * While a loop plays, it is heard out and then the next section, or the next bars, are looped; without a loop the next
 * section is played at once. At rest it plays from where it stopped.
 */
async function goOn(session: Session): Promise<void> {
  const map = mapOf(session);
  if (!map) return;
  const { loop } = session.practice.value;
  if (loop) {
    const next = stretchAfter(map, loop);
    if (!next) return session.say({ kind: 'info', text: msg('Nothing follows this loop.') });
    setLoop(session, next.stretch);
    session.say({ kind: 'info', text: msg(str`Next: ${next.name}.`) });
    if (!session.playing.value) await session.play();
    return;
  }
  if (!session.playing.value) return session.play();
  const here = session.position();
  const target = sectionStartFrom(map, here, 1);
  if (target === undefined || target <= here)
    return session.say({ kind: 'info', text: msg('This is the last section.') });
  await session.play(target);
}

/** What is looped after a loop: the next section where it is one, else as many bars as it has. */
function stretchAfter(map: SongMap, loop: PlayStretch): { stretch: PlayStretch; name: string } | undefined {
  const first = barAt(map, loop.from + 1e-3);
  const section = first === undefined ? undefined : sectionOfBar(map, first);
  if (section !== undefined && sameStretch(sectionStretch(map, section), loop)) {
    const stretch = sectionStretch(map, section + 1);
    const range = sectionBars(map, section + 1);
    const { name } = map.sections[section + 1] ?? {};
    return stretch && range && name !== undefined
      ? { stretch, name: `${name}, ${barsText(map, range.first, range.last)}` }
      : undefined;
  }
  const bars = barsOf(map);
  const next = bars.findIndex((bar) => bar.start > loop.until - 1e-3);
  if (first === undefined || next < 0) return undefined;
  const last = Math.min(bars.length - 1, next + Math.max(1, next - first) - 1);
  const stretch = barsStretch(map, next, last);
  return stretch && { stretch, name: barsText(map, next, last) };
}

async function moveBar(session: Session, steps: 1 | -1): Promise<void> {
  const map = mapOf(session);
  const target = map && barLineFrom(map, placeOf(session), steps);
  if (target === undefined) return;
  session.view.cursor.value = target;
  if (session.playing.value) await session.play(target);
}
