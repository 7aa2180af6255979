import { msg, str } from '@lit/localize';
import { differenceWords } from '../../model/pass-words.js';
import { isIgnored } from '../../model/pass-table.js';
import { ignoreDifferences, makeBarsSame } from './pass-actions.js';
import { cellStretch, differencesAt, partnerOf, passPlaceOf, type PassPlace } from './pass-places.js';
import { barNear } from '../map/places.js';
import type { Session } from '../kit/session.js';
import type { KeyBinding } from '../kit/command.js';
import type { Command } from '../kit/session.js';
import { hasBars, mapOf } from '../map/targets.js';

/** Comparing the passes of a section; all act on the bar under the cursor, while the workspace "Passes" is shown. */
export const PASS_COMMANDS: readonly Command[] = [
  command('pass-hear-both', msg('Hear this bar in two passes'), { key: 'b' }, (session, place) =>
    hearBoth(session, place),
  ),
  command('pass-chords', msg('Give the chords of this bar to the other passes'), { key: 'g' }, (session, place) =>
    give(session, place, 'chords'),
  ),
  command(
    'pass-length',
    msg('Give the length of this bar to the other passes'),
    { key: 'g', shift: true },
    (session, place) => give(session, place, 'lengths'),
  ),
  command('pass-ignore', msg('Ignore what differs in this bar'), { key: 'q' }, ignoreHere),
];

function command(
  id: string,
  label: string,
  key: KeyBinding,
  run: (session: Session, place: PassPlace) => Promise<void> | void,
): Command {
  return {
    id,
    label,
    key,
    scope: 'map',
    group: 'passes',
    allowed: (session) => placeMeant(session) !== undefined,
    run: async (session) => {
      const place = placeMeant(session);
      if (place) await run(session, place);
    },
  };
}

/** The cell of the bar under the cursor; undefined outside the workspace, where nobody sees which bars stand together. */
function placeMeant(session: Session): PassPlace | undefined {
  const map = mapOf(session);
  if (!map || session.view.workspace.value !== 'passes' || !hasBars(session)) return undefined;
  const bar = barNear(map, session.view.cursor.value);
  return bar === undefined ? undefined : passPlaceOf(session.passes.value, bar);
}

/** Plays the bar of a pass and then the same bar of another, by itself the one that it should be like. */
export async function hearBoth(session: Session, place: PassPlace, other = partnerOf(place)): Promise<void> {
  const map = mapOf(session);
  const own = map && cellStretch(map, place);
  if (!map || !own) return;
  const second = other === undefined ? undefined : cellStretch(map, { ...place, pass: other });
  if (second && other !== undefined) {
    session.say({ kind: 'info', text: msg(str`Pass ${place.pass + 1}, then pass ${other + 1}.`) });
    await session.playStretches([own, second]);
  } else session.say({ kind: 'info', text: msg('No other pass has a bar here.') });
}

async function give(session: Session, { table, pass, column }: PassPlace, what: 'chords' | 'lengths'): Promise<void> {
  const to = table.passes.map((_, other) => other).filter((other) => other !== pass);
  await makeBarsSame(session, { table, column, from: pass, to, what });
}

async function ignoreHere(session: Session, place: PassPlace): Promise<void> {
  const map = mapOf(session);
  const open = map ? differencesAt(place).filter((each) => !isIgnored(map, each)) : [];
  const [first] = open;
  if (!map || !first) {
    session.say({ kind: 'info', text: msg('Nothing differs in this bar that is not ignored already.') });
    return;
  }
  const words = differenceWords(map, place.table, first);
  await ignoreDifferences(session, words, open);
}
