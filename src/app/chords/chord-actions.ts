import { msg, str } from '@lit/localize';
import { copyChords, pasteChords } from '../../model/edits/chord-clips.js';
import { replaceChord, transposeChords } from '../../model/edits/chord-changes.js';
import { acceptChords, setChords, typedChords } from '../../model/edits/chords.js';
import { barName, barOf, barsOf, chordsInBar, sectionBars } from '../../model/map-queries.js';
import { shownMap, shownName, soundingChord } from '../../model/shown-chords.js';
import type { ChordMark, Section, SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { chordLine, parseChordLine } from './chord-line.js';
import { barsText, counted } from '../kit/sentences.js';
import { barAgain } from '../map/bar-actions.js';
import type { Editing } from '../song/editing.js';
import { transposeText } from './fingering-actions.js';

/** Types chords into bars from `first` on: bars are parted by "|", "G | Em | C D"; an empty one leaves its bar to the chord before. */
export async function typeChords(session: Editing, first: BarIndex, text: string): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const lines = chordLines(map, first, text);
  const last = first + lines.length - 1;
  const starts = lines.map(({ bar }) => barOf(map, bar)?.start ?? NaN);
  const typed = text.trim() || msg('none');
  const label = msg(str`chords of ${barsText(map, first, last)}: ${typed}`);
  await session.edit(label, (now) =>
    lines.reduce((next, { chords }, i) => setChords(next, barAgain(next, starts[i] as Seconds), chords), now),
  );
}

/** The chords of a bar as a line to start typing from, named as the map shows them. */
export function lineOfBar(map: SongMap, bar: BarIndex): string {
  const meter = barOf(map, bar)?.meter;
  return meter ? chordLine(typedChords(shownMap(map), bar), meter) : '';
}

/** What typeChords makes of a text, in chords that sound; throws RangeError with words for the user. */
export function chordLines(map: SongMap, first: BarIndex, text: string) {
  const parts = text
    .trim()
    .replace(/^\||\|$/g, '')
    .split('|');
  const bars = barsOf(map);
  if (first + parts.length > bars.length) {
    throw new RangeError(
      msg(
        str`${parts.length} bars of chords are written, but only ${bars.length - first} are left in the song; write fewer, or begin earlier`,
      ),
    );
  }
  return parts.map((part, i) => {
    const bar = first + i;
    const meter = (bars[bar] as (typeof bars)[number]).meter;
    const shown = parseChordLine(part, meter);
    return { bar, chords: shown.map(({ beat, harte }) => ({ beat, harte: soundingChord(map, harte) })) };
  });
}

/** Makes the suggested chords of the bar the user's own. */
export async function acceptBarChords(session: Editing, bar: BarIndex): Promise<void> {
  const map = session.song.value?.map;
  const start = map && barOf(map, bar)?.start;
  if (!map || start === undefined) return;
  await session.edit(msg(str`chords of ${barName(map, bar)} accepted`), (now) =>
    acceptChords(now, barAgain(now, start)),
  );
}

/** The chord that begins on the beat at `time`, else the last one that begins in its bar before it; undefined without any. */
export function chordBegunAt(map: SongMap, bar: BarIndex, time: Seconds): ChordMark | undefined {
  const begun = chordsInBar(map, bar).filter(({ chord }) => chord.time <= time + 0.02);
  return begun.at(-1)?.chord;
}

/** Keeps the chords of some bars, to be pasted. */
export function copyBars(session: Editing, bars: { readonly first: BarIndex; readonly last: BarIndex }): void {
  const map = session.song.value?.map;
  if (!map) return;
  session.view.clip.value = copyChords(map, bars.first, bars.last);
  session.say({ kind: 'info', text: msg(str`Copied: the chords of ${barsText(map, bars.first, bars.last)}.`) });
}

/** Pastes what was copied from `first` on, and says what did not fit. */
export async function pasteBars(session: Editing, first: BarIndex): Promise<void> {
  const map = session.song.value?.map;
  const clip = session.view.clip.value;
  const start = map && barOf(map, first)?.start;
  if (!map || !clip || start === undefined) return;
  const last = Math.min(first + clip.bars.length, barsOf(map).length) - 1;
  let shortened: readonly BarIndex[] = [];
  await session.edit(msg(str`chords pasted into ${barsText(map, first, last)}`), (now) => {
    const pasted = pasteChords(now, barAgain(now, start), clip);
    ({ shortened } = pasted);
    return pasted.map;
  });
  const now = session.song.value?.map;
  if (now && shortened.length > 0) {
    const where = shortened.map((bar) => barName(now, bar)).join(', ');
    session.say({
      kind: 'info',
      text: msg(str`Pasted. Not every chord fits into ${where}: shorter than what was copied.`),
    });
  }
}

/** Where a chord is replaced: one pass of a section, all its passes, or everywhere. */
export type ReplaceScope = 'section' | 'passes' | 'song';

/** Replaces a chord, both as the map shows them; `to` is as it is typed. */
export async function replaceShown(
  session: Editing,
  from: string,
  to: string,
  scope: ReplaceScope,
  section: Section | undefined,
): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const [typed] = parseChordLine(to.trim(), { count: 1, unit: 4, beatUnits: 1 });
  if (!typed) return;
  const goal = soundingChord(map, typed.harte);
  const where = scope === 'song' ? msg('everywhere') : msg(str`in ${scopeName(map, scope, section)}`);
  let count = 0;
  await session.edit(msg(str`${shownName(map, from)} is ${to.trim()} ${where}`), (now) => {
    const places = scope === 'song' ? [undefined] : sectionsOf(now, scope, section);
    count = 0;
    return places.reduce((next, place) => {
      try {
        const replaced = replaceChord(next, from, goal, place);
        count += replaced.count;
        return replaced.map;
      } catch (error) {
        // A pass without the chord has nothing to replace; none with it is worth saying.
        if (scope === 'passes' && (count > 0 || place !== places.at(-1))) return next;
        throw error;
      }
    }, now);
  });
  const places = counted(count, msg('place'), msg('places'));
  if (count > 0) session.say({ kind: 'info', text: msg(str`${places} ${where}: now ${to.trim()}.`) });
}

/** Moves the chords by semitones: of the song with its key, or of one section. */
export async function transposeBy(session: Editing, semitones: number, section?: Section): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const what = section ? msg(str`chords of ${scopeName(map, 'section', section)}`) : msg('chords and key');
  await session.edit(`${what}: ${transposeText(semitones)}`, (now) =>
    transposeChords(now, semitones, section ? sectionsOf(now, 'section', section)[0] : undefined),
  );
}

/** "Verse (bars 5 to 12)", "all passes of Verse". */
export function scopeName(map: SongMap, scope: ReplaceScope, section: Section | undefined): string {
  if (!section || scope === 'song') return msg('the whole song');
  if (scope === 'passes') return msg(str`all passes of ${section.name}`);
  const range = sectionBars(map, map.sections.indexOf(section));
  return range ? msg(str`${section.name} (${barsText(map, range.first, range.last)})`) : section.name;
}

function sectionsOf(map: SongMap, scope: ReplaceScope, section: Section | undefined): number[] {
  return map.sections.flatMap((each, i) =>
    (scope === 'passes' ? each.letter === section?.letter : each.id === section?.id) ? [i] : [],
  );
}
