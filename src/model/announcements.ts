import { spokenChord } from '../music/spoken-chord.js';
import { pieceEnd, type Piece, type Sounding } from '../music/timeline.js';
import { countUpTo, indexOf } from './map-index.js';
import type { SongMap } from './song-map.js';

/** Seconds that a word takes, roundly. */
const WORD = 0.35;
/** Two announcements are at least so far apart, else the second is left out: nobody could follow. */
const APART = 0.5;
/** All announcements cut each other off, and no string. */
const CHOKE = 99;

/**
 * The chords of `map` spoken before they begin, so many beats ahead as the words need, on the timeline of `pieces`; where a
 * piece does not go on in the recording from the one before, the chord it begins with is announced too. `from`: nothing is said
 * before that second.
 */
export function announcements(map: SongMap, pieces: readonly Piece[], from: number): readonly Sounding[] {
  const { beats } = indexOf(map);
  const said: Sounding[] = [];
  let last = '';
  let free = from;
  for (const piece of pieces) {
    const held = map.chords.filter(({ time }) => time <= piece.from + 0.02).at(-1);
    const inside = map.chords.filter(({ time }) => time > piece.from + 0.02 && time < piece.until - 0.02);
    for (const { harte, time } of held ? [{ ...held, time: piece.from }, ...inside] : inside) {
      const words = spokenChord(harte);
      if (words.length === 0 || harte === last) continue;
      const here = countUpTo(beats, time + 0.02) - 1;
      const beat = ((beats[here + 1] ?? time + 0.5) - (beats[here] ?? time)) / piece.rate;
      const ahead = Math.max(1, Math.ceil((WORD * words.length) / Math.max(0.2, beat))) * Math.max(0.2, beat);
      const due = piece.at + (time - piece.from) / piece.rate;
      const at = Math.max(free, due - ahead);
      if (at > due - 0.15 || at >= pieceEnd(piece)) continue;
      said.push({ at, sound: `say ${words.join(' ')}`, gain: 1, bus: 'count', choke: CHOKE });
      last = harte;
      free = at + APART;
    }
  }
  return said;
}
