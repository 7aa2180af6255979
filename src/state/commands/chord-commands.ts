import { typedChords } from '../../model/edits/chords.js';
import { barName, barOf } from '../../model/map-queries.js';
import { acceptBarChords, chordLines, typeChords } from '../actions/chords.js';
import { chordLine } from '../chord-line.js';

import type { Session } from '../session.js';
import { faultOf } from '../words.js';
import { ask } from './ask.js';
import type { Command } from './command.js';
import { barsMeant, mapOf, onBars } from './targets.js';

/** What most of these commands share. */
const ON_BARS = onBars('chords');

export const CHORD_COMMANDS: readonly Command[] = [
  {
    id: 'chords-type',
    label: 'Type chords into the bar…',
    key: { key: 'c' },
    ...ON_BARS,
    run: askChords,
  },
  {
    id: 'chords-accept',
    label: 'The chords of this bar are right',
    key: { key: 'c', shift: true },
    ...ON_BARS,
    run: async (session) => {
      const bars = barsMeant(session);
      if (bars) await acceptBarChords(session, bars.first);
    },
  },
];

function askChords(session: Session): void {
  const map = mapOf(session);
  const bar = barsMeant(session)?.first;
  const meter = map && bar !== undefined ? barOf(map, bar)?.meter : undefined;
  if (!map || bar === undefined || !meter) return;
  ask(session, {
    kind: 'chords',
    label: `Chords of ${barName(map, bar)}`,
    value: chordLine(typedChords(map, bar), meter),
    hint: 'Like G, G C or G . C D; a point lets a chord go on, | goes to the next bar, nothing leaves the bar to the chord before.',
    choices: [],
    bar,
    check: (text) => faultOf(() => chordLines(map, bar, text)),
    take: (text) => typeChords(session, bar, text),
  });
}
