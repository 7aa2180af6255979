import { msg, str } from '@lit/localize';
import { barAt, barName, barOf, barsOf, chordAt, timeOfPosition, barEnd } from '../../model/map-queries.js';
import { shownName } from '../../model/shown-chords.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import {
  acceptBarChords,
  chordBegunAt,
  chordLines,
  copyBars,
  lineOfBar,
  pasteBars,
  replaceShown,
  scopeName,
  transposeBy,
  typeChords,
  type ReplaceScope,
} from './chord-actions.js';
import { moveChordTo } from '../map/move-chord.js';
import { parseChordLine, unreadWords } from './chord-line.js';
import { sectionNear } from '../map/places.js';
import type { Session } from '../kit/session.js';
import { faultOf } from '../kit/words.js';
import { ask } from '../kit/ask.js';
import type { KeyBinding } from '../kit/command.js';
import type { Command } from '../kit/session.js';
import { barsMeant, beatPlace, mapOf, onBars } from '../map/targets.js';

/** What most of these commands share. */
const ON_BARS = onBars('chords');

export const CHORD_COMMANDS: readonly Command[] = [
  {
    id: 'chords-type',
    label: msg('Type chords into the bar…'),
    key: { key: 'c' },
    ...ON_BARS,
    run: (session) => {
      const bar = barsMeant(session)?.first;
      if (bar !== undefined) askChords(session, bar);
    },
  },
  {
    id: 'chords-accept',
    label: msg('The chords of this bar are right'),
    key: { key: 'c', shift: true },
    ...ON_BARS,
    run: async (session) => {
      const bars = barsMeant(session);
      if (bars) await acceptBarChords(session, bars.first);
    },
  },
  move('chord-earlier', msg('The chord here one beat earlier'), { key: 'ArrowLeft', mod: true }, -1),
  move('chord-later', msg('The chord here one beat later'), { key: 'ArrowRight', mod: true }, 1),
  {
    id: 'chords-copy',
    label: msg('Copy the chords of the selected bars'),
    key: { key: 'c', mod: true },
    ...ON_BARS,
    run: (session) => {
      const bars = barsMeant(session);
      if (bars) copyBars(session, bars);
    },
  },
  {
    id: 'chords-paste',
    label: msg('Paste chords from this bar on'),
    key: { key: 'v', mod: true },
    ...ON_BARS,
    allowed: (session) => ON_BARS.allowed(session) && session.view.clip.value !== undefined,
    run: async (session) => {
      const bars = barsMeant(session);
      if (bars) await pasteBars(session, bars.first);
    },
  },
  replace('section', msg('Replace this chord in the section…'), { key: 'r', shift: true }),
  replace('passes', msg('Replace this chord in all passes of the section…')),
  replace('song', msg('Replace this chord everywhere…'), { key: 'x', shift: true }),
  transpose('section-up', msg('Chords of the section a semitone up'), { key: 'ArrowUp', mod: true }, 1, true),
  transpose('section-down', msg('Chords of the section a semitone down'), { key: 'ArrowDown', mod: true }, -1, true),
  transpose('song-up', msg('All chords a semitone up'), { key: 'ArrowUp', mod: true, shift: true }, 1, false),
  transpose('song-down', msg('All chords a semitone down'), { key: 'ArrowDown', mod: true, shift: true }, -1, false),
];

function askChords(session: Session, bar: BarIndex): void {
  const map = mapOf(session);
  if (!map || !barOf(map, bar)) return;
  const value = lineOfBar(map, bar);
  ask(session, {
    kind: 'chords',
    label: msg(str`Chords of ${barName(map, bar)}`),
    value,
    hint: msg(
      'Like G, G C or G . C D; a point lets a chord go on, | goes to the next bar, nothing leaves the bar to the chord before.',
    ),
    choices: [],
    bar,
    check: (text) => faultOf(() => chordLines(map, bar, text)),
    note: unreadNote,
    take: async (text) => {
      if (text.trim() !== value) await typeChords(session, bar, text);
    },
    goOn: {
      label: msg('Next bar'),
      ask: (text) => {
        const next = bar + chordLines(map, bar, text).length;
        const start = barsOf(map)[next]?.start;
        session.view.prompt.value = undefined;
        if (start === undefined) return;
        session.view.selection.value = undefined;
        session.view.cursor.value = start;
        askChords(session, next);
      },
    },
  });
}

/** What is said of words that are no chords, while they are typed. */
function unreadNote(text: string): string | undefined {
  const words = unreadWords(text);
  if (words.length === 0) return undefined;
  const named = words.map((word) => `“${word}”`).join(', ');
  const unread =
    words.length === 1
      ? msg(str`${named} cannot be read as a chord; kept as typed and marked.`)
      : msg(str`${named} cannot be read as chords; kept as typed and marked.`);
  return `${unread} ${msg('Chords are written like Am, F/A, G7, Bbmaj7, C#m7b5, D5, Cadd9 or NC.')}`;
}

/** The chord that commands mean and where it begins: the one on the beat at the sound or the cursor, else the one before it in the bar. */
function chordHere(session: Session): { map: SongMap; time: Seconds; harte: string } | undefined {
  const map = mapOf(session);
  const place = beatPlace(session);
  const bar = map && barAt(map, place + 1e-3);
  const chord = map && bar !== undefined ? chordBegunAt(map, bar, place) : undefined;
  return map && chord && { map, time: chord.time, harte: chord.harte };
}

function move(id: string, label: string, key: KeyBinding, by: 1 | -1): Command {
  return {
    id,
    label,
    key,
    repeats: true,
    ...ON_BARS,
    run: async (session) => {
      const here = chordHere(session);
      if (!here) return session.say({ kind: 'info', text: msg('No chord begins in this bar on or before this beat.') });
      const goal = neighbour(here.map, here.time, by);
      if (goal) await moveChordTo(session, here.time, goal.bar, goal.beat);
    },
  };
}

/** The beat next to a moment, over bar lines too. */
function neighbour(map: SongMap, time: Seconds, by: 1 | -1): { bar: BarIndex; beat: number } | undefined {
  const places = barsOf(map).flatMap((bar, index) =>
    bar.beats.map((_, beat) => ({ bar: index, beat, time: timeOfPosition(bar, barEnd(map, index), beat) })),
  );
  return by > 0
    ? places.find((each) => each.time > time + 0.02)
    : places.filter((each) => each.time < time - 0.02).at(-1);
}

function replace(scope: ReplaceScope, label: string, key?: KeyBinding): Command {
  return {
    id: `chords-replace-${scope}`,
    label,
    ...(key ? { key } : {}),
    ...ON_BARS,
    run: (session) => {
      const map = mapOf(session);
      const place = beatPlace(session);
      const harte = map && chordAt(map, place + 1e-3)?.harte;
      const section = map && sectionNear(map, place);
      if (!map || harte === undefined) return session.say({ kind: 'info', text: msg('No chord sounds here.') });
      ask(session, {
        kind: 'chord',
        label: msg(str`${shownName(map, harte)} in ${scopeName(map, scope, section)} becomes`),
        value: shownName(map, harte),
        hint: msg('Every place where it begins or goes on is changed.'),
        choices: [],
        bar: barAt(map, place + 1e-3),
        check: checkOne,
        note: unreadNote,
        take: (text) => replaceShown(session, harte, text, scope, section),
      });
    },
  };
}

function checkOne(text: string): string | undefined {
  const words = text.trim().split(/\s+/).filter(Boolean);
  if (words.length !== 1) return msg(str`Write one chord, like Am or F/A; found ${words.length}.`);
  return faultOf(() => {
    if (parseChordLine(text, { count: 1, unit: 4, beatUnits: 1 }).length !== 1)
      throw new RangeError(msg('Write one chord, like Am or F/A.'));
  });
}

function transpose(id: string, label: string, key: KeyBinding, by: 1 | -1, section: boolean): Command {
  return {
    id: `chords-${id}`,
    label,
    key,
    ...ON_BARS,
    run: async (session) => {
      const map = mapOf(session);
      const own = section && map ? sectionNear(map, beatPlace(session)) : undefined;
      if (map && (!section || own)) await transposeBy(session, by, own);
    },
  };
}
