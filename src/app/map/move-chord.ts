import { msg, str } from '@lit/localize';
import { moveChord } from '../../model/edits/chord-changes.js';
import { barEnd, barOf, chordAt, timeOfPosition } from '../../model/map-queries.js';
import { shownName } from '../../model/shown-chords.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import { placeText } from '../kit/sentences.js';
import type { Editing } from '../song/editing.js';
import { barAgain } from './bar-actions.js';

/** The chord that begins at `time` begins on this beat of this bar instead; the cursor goes with it. */
export async function moveChordTo(session: Editing, time: Seconds, bar: BarIndex, beat: number): Promise<void> {
  const map = session.song.value?.map;
  const goal = map && barOf(map, bar);
  if (!map || !goal) return;
  const name = shownName(map, chordAt(map, time + 1e-3)?.harte ?? '');
  const there = timeOfPosition(goal, barEnd(map, bar), beat);
  await session.edit(msg(str`${name} from ${placeText(map, time)} to ${placeText(map, there)}`), (now) =>
    moveChord(now, time, barAgain(now, goal.start), beat),
  );
  const moved = session.song.value?.map.chords.some((chord) => Math.abs(chord.time - there) < 1e-3);
  if (moved) session.view.cursor.value = there;
}
