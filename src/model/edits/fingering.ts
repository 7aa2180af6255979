import { msg, str } from '@lit/localize';
import { HIGHEST_CAPO } from '../../music/capo.js';
import type { ChosenShape, Fingered, SongMap } from '../song-map.js';
import { EditProblem } from './problem.js';

/**
 * In which key, behind which capo and with which chords shown the song is fingered; what is left out stays as it is.
 * Throws EditProblem for a transposition or a fret that is none.
 */
export function setFingering(
  map: SongMap,
  change: { readonly transpose?: number; readonly capo?: number; readonly sounding?: boolean },
): SongMap {
  const { fingered = {} } = map;
  const transpose = change.transpose ?? fingered.transpose ?? 0;
  const capo = change.capo ?? fingered.capo ?? 0;
  const sounding = change.sounding ?? fingered.sounding ?? false;
  if (!Number.isInteger(transpose) || Math.abs(transpose) > 11)
    throw new EditProblem(msg(str`A song is moved by whole semitones, 11 at most; found ${transpose}.`));
  if (!Number.isInteger(capo) || capo < 0 || capo > HIGHEST_CAPO)
    throw new EditProblem(msg(str`A capo lies on frets 1 to ${HIGHEST_CAPO}; found ${capo}.`));
  return withFingered(map, {
    ...(transpose === 0 ? {} : { transpose }),
    ...(capo === 0 ? {} : { capo }),
    ...(sounding && capo > 0 ? { sounding: true } : {}),
    ...(fingered.shapes ? { shapes: fingered.shapes } : {}),
  });
}

/** Fingers a chord on an instrument in this shape; without `frets` in the easiest one again. */
export function chooseShape(
  map: SongMap,
  strings: string,
  harte: string,
  frets: readonly number[] | undefined,
): SongMap {
  const { shapes = [], ...rest } = map.fingered ?? {};
  const others = shapes.filter((each) => each.strings !== strings || each.harte !== harte);
  const now: readonly ChosenShape[] = frets ? [...others, { strings, harte, frets }] : others;
  return withFingered(map, { ...rest, ...(now.length > 0 ? { shapes: now } : {}) });
}

function withFingered({ fingered: _, ...map }: SongMap, fingered: Fingered): SongMap {
  return Object.keys(fingered).length > 0 ? { ...map, fingered } : map;
}
