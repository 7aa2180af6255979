import type { Recording, SongMap } from '../model/song-map.js';
import type { Evidence } from './evidence.js';

/** A solved map, or the ids of the locks that cannot all hold together (the newest among them last). */
export type SolveOutcome =
  { readonly ok: true; readonly map: SongMap } | { readonly ok: false; readonly conflict: readonly string[] };

/** The first map of a recording: nothing locked, everything suggested. */
export declare function firstMap(evidence: Evidence, recording: Recording, title: string): SongMap;

/** Solves again around `map.locks`; the user's sections, chords, title and edges stay; suggestions follow the new bars. */
export declare function solveMap(evidence: Evidence, map: SongMap): SolveOutcome;
