import { acceptChords, removeChord, setChords } from '../../model/edits/chords.js';
import { barName, barOf, barsOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { parseChordLine } from '../chord-line.js';
import { barsText, placeText } from '../sentences.js';
import { barAgain } from './bars.js';
import type { Editing } from './editing.js';

/** Types chords into bars from `first` on: bars are parted by "|", "G | Em | C D"; an empty one leaves its bar to the chord before. */
export async function typeChords(session: Editing, first: BarIndex, text: string): Promise<void> {
  const map = session.song.value?.map;
  if (!map) return;
  const lines = chordLines(map, first, text);
  const last = first + lines.length - 1;
  const starts = lines.map(({ bar }) => barOf(map, bar)?.start ?? NaN);
  const label = `chords of ${barsText(map, first, last)}: ${text.trim() || 'none'}`;
  await session.edit(label, (now) =>
    lines.reduce((next, { chords }, i) => setChords(next, barAgain(next, starts[i] as Seconds), chords), now),
  );
}

/** What typeChords makes of a text; throws RangeError with words for the user. */
export function chordLines(map: SongMap, first: BarIndex, text: string) {
  const parts = text
    .trim()
    .replace(/^\||\|$/g, '')
    .split('|');
  const bars = barsOf(map);
  if (first + parts.length > bars.length) {
    throw new RangeError(
      `chords: ${parts.length} bars are written, but only ${bars.length - first} are left in the song`,
    );
  }
  return parts.map((part, i) => {
    const bar = first + i;
    const meter = (bars[bar] as (typeof bars)[number]).meter;
    return { bar, chords: parseChordLine(part, meter) };
  });
}

/** Takes the chord that begins at `time` away. */
export async function removeChordAt(session: Editing, time: Seconds): Promise<void> {
  const map = session.song.value?.map;
  if (map) await session.edit(`chord at ${placeText(map, time)} removed`, (now) => removeChord(now, time));
}

/** Makes the suggested chords of the bar the user's own. */
export async function acceptBarChords(session: Editing, bar: BarIndex): Promise<void> {
  const map = session.song.value?.map;
  const start = map && barOf(map, bar)?.start;
  if (!map || start === undefined) return;
  await session.edit(`chords of ${barName(map, bar)} accepted`, (now) => acceptChords(now, barAgain(now, start)));
}
