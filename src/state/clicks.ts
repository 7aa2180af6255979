import { barsOf } from '../model/map-queries.js';
import type { SongMap } from '../model/song-map.js';
import type { Click } from './ports.js';

/** The click on the map's own beats, with an accent on beat 1; a pickup has no beat 1. */
export function clicksOf(map: SongMap): readonly Click[] {
  return barsOf(map).flatMap((bar) =>
    bar.beats.map((time, beat) => ({ time, accent: beat === 0 && bar.pickup !== true })),
  );
}
