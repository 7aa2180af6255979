import { setBarBeats } from '../model/edits/bars.js';
import { EditProblem } from '../model/edits/problem.js';
import { barsOf } from '../model/map-queries.js';
import type { SongMap } from '../model/song-map.js';
import { beatsOf } from '../music/meter.js';

/** How many edits are rehearsed; each leaves some 1.5 MB in memory. */
const EDITS = 12;
/** Steps through the song that come near every place, whatever their number: the golden section. */
const STEP = 0.618;

/**
 * Edits as a user makes them, a bar longer or shorter here and there in the song: to be solved for nothing when a song is
 * opened, so that what is learnt of it at the first edits, and the code made fast by them, is there before the user's own.
 */
export function rehearsals(map: SongMap): SongMap[] {
  const bars = barsOf(map);
  const edits = Array.from({ length: Math.min(EDITS, bars.length) }, (_, n) => {
    const place = Math.floor(bars.length * ((n * STEP) % 1));
    const beats = beatsOf(bars[place]?.meter ?? map.prevailing);
    return { place, beats: n % 2 === 0 ? beats + 1 : Math.max(1, beats - 1) };
  });
  return edits.flatMap(({ place, beats }) => {
    try {
      return [setBarBeats(map, place, beats)];
    } catch (error) {
      if (error instanceof EditProblem) return [];
      throw error;
    }
  });
}
