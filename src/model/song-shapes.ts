import { parseHarte } from '../music/chord.js';
import type { TimedChord } from '../music/easiest-key.js';
import { shapeFromFrets, shapesOf, type Shape } from '../music/shapes.js';
import type { Tuning } from '../music/tuning.js';
import { barsOf, barEnd } from './map-queries.js';
import { shownMap } from './shown-chords.js';
import type { SongMap } from './song-map.js';

/** A chord of the song as it is fingered on an instrument. */
export interface SongShape {
  /** The chord shown, in Harte syntax: behind the capo and in the key it is played in. */
  readonly harte: string;
  /** In which it is fingered: the one chosen, else the easiest; undefined where none was found or it cannot be read. */
  readonly shape: Shape | undefined;
  /** Shapes to choose from, easiest first, the chosen one among them. */
  readonly choices: readonly Shape[];
  readonly chosen: boolean;
}

/** How a tuning is told from others in what is kept. */
export function stringsText({ strings }: Tuning): string {
  return strings.join(' ');
}

/** Frets as they are kept: -1 for a string that is not played. */
export function keptFrets({ frets }: Shape): readonly number[] {
  return frets.map((fret) => fret ?? -1);
}

const found = new Map<string, readonly Shape[]>();
/** Shapes looked for are remembered: a song has some ten chords, and every redraw asks for all of them. */
const MOST_KNOWN = 500;

function shapesFor(harte: string, tuning: Tuning): readonly Shape[] {
  const key = `${stringsText(tuning)} ${harte}`;
  let shapes = found.get(key);
  if (!shapes) {
    const chord = parseHarte(harte);
    shapes = chord ? shapesOf(chord, tuning) : [];
    if (found.size >= MOST_KNOWN) found.clear();
    found.set(key, shapes);
  }
  return shapes;
}

/** How a shown chord of the song is fingered. */
export function songShape(map: SongMap, harte: string, tuning: Tuning): SongShape {
  const kept = map.fingered?.shapes?.find((each) => each.strings === stringsText(tuning) && each.harte === harte);
  const own = kept && shapeFromFrets(kept.frets);
  const offered = shapesFor(harte, tuning);
  if (!own) return { harte, shape: offered[0], choices: offered, chosen: false };
  const same = offered.find((each) => keptFrets(each).join() === kept.frets.join());
  return { harte, shape: same ?? own, choices: same ? offered : [own, ...offered], chosen: true };
}

/** Every chord shown in the song, each once, in the order in which it first comes; no chord is left out. */
export function songShapes(map: SongMap, tuning: Tuning): readonly SongShape[] {
  const shown = shownMap(map);
  const bars = barsOf(map);
  const [from, until] = [bars[0]?.start ?? 0, barEnd(map, bars.length - 1)];
  const chords = shown.chords.filter(({ harte, time }, i) => {
    const next = shown.chords[i + 1]?.time ?? Infinity;
    return harte !== 'N' && time < until && next > from;
  });
  return [...new Set(chords.map(({ harte }) => harte))].map((harte) => songShape(map, harte, tuning));
}

/** The chords that sound in the song with how long each lasts, for finding its easiest key. */
export function timedChords(map: SongMap): readonly TimedChord[] {
  const bars = barsOf(map);
  const until = bars.length > 0 ? barEnd(map, bars.length - 1) : map.end;
  return map.chords.flatMap(({ harte, time }, i) => {
    const seconds = Math.min(map.chords[i + 1]?.time ?? until, until) - time;
    return seconds > 0 ? [{ harte, seconds }] : [];
  });
}
